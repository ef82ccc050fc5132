// A canvas as fine as the screen is.

/** Cleared, to draw on in pixels of the page; null while it is smaller than least, [width, height]. */
export function sharp(canvas, least) {
  const ratio = window.devicePixelRatio || 1;
  const [w, h] = [canvas.clientWidth, canvas.clientHeight];
  if (w < least[0] || h < least[1]) {
    return null;
  }
  if (canvas.width !== Math.round(w * ratio) || canvas.height !== Math.round(h * ratio)) {
    canvas.width = Math.round(w * ratio);
    canvas.height = Math.round(h * ratio);
  }
  const g = canvas.getContext("2d");
  g.setTransform(ratio, 0, 0, ratio, 0, 0);
  g.clearRect(0, 0, w, h);
  return {g, w, h};
}
