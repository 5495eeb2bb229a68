/** Does something once the next frame is on the screen, or soon where nobody looks at the page; answers what calls it off. */
export function afterPaint(work: () => void): () => void {
  let timer: ReturnType<typeof setTimeout> | undefined;
  const later = (): void => {
    timer = setTimeout(work);
  };
  // A page that is not seen is given no frames.
  const frame = document.visibilityState === 'visible' ? requestAnimationFrame(later) : later();
  return () => {
    if (frame !== undefined) cancelAnimationFrame(frame);
    clearTimeout(timer);
  };
}
