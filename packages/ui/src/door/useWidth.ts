import { useLayoutEffect, useRef, useState } from 'react';
import type { RefObject } from 'react';

/** Width of an element in CSS pixels, kept up to date; `initial` until it is known. */
export function useWidth<E extends HTMLElement>(initial: number): [RefObject<E | null>, number] {
  const ref = useRef<E | null>(null);
  const [width, setWidth] = useState(initial);
  useLayoutEffect(() => {
    const element = ref.current;
    if (!element) return undefined;
    const measure = () => {
      if (element.clientWidth > 0) setWidth(element.clientWidth);
    };
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(element);
    return () => observer.disconnect();
  }, []);
  return [ref, width];
}
