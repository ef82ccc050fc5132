/**
 * What is to be known of a value beside its number: of what kind it is ({@code Remark}), and the
 * one writing of it as a sentence ({@code RemarkText}).
 *
 * <p>Here: the reasons of a verdict and what an averaged point carries with it. Not here: who
 * decides them (steadiness, pipeline, budget) and what follows across lifts (finding).
 */
package meniscus.core.remark;
