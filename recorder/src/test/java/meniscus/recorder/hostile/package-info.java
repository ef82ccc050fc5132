/**
 * Hostile input: how valid files are spoilt ({@link meniscus.recorder.hostile.Spoilt}) and how many
 * cases in a row are watched ({@link meniscus.recorder.hostile.Onslaught}).
 */
package meniscus.recorder.hostile;
