import type { ReactNode } from 'react';
import { memo, useEffect, useRef } from 'react';
import { Link, useLocation } from 'wouter';
import { useKept } from '../keep/device.js';
import { afterPaint } from './afterPaint.js';
import { NewVersion } from './NewVersion.js';
import { countNeeds, SyncMark } from './SyncMark.js';

const places = [
  { href: '/', word: 'Visits', path: 'M2 14V6l6-4 6 4v8ZM6 14V9h4v5' },
  { href: '/find', word: 'Find', path: 'M2 2h4v4H2ZM10 2h4v4h-4ZM2 10h4v4H2ZM10 10h1.5v1.5M14 10v4h-4' },
  { href: '/needs', word: 'Needs you', path: 'M3 1.5V15M3 2.5h10l-2.5 3L13 8.5H3' },
  { href: '/device', word: 'This device', path: 'M3.5 1.5h9v13h-9ZM7 12.4h2' },
] as const;

export interface LayoutProps {
  title: string;
  /** What stands over the title, e.g. the site. */
  over?: string | undefined;
  /** Where 'Back' goes; left out on the four main places. */
  back?: string | undefined;
  children: ReactNode;
  /** Kept at the foot of the screen, in reach of a thumb. */
  foot?: ReactNode;
  /** No row of places: while a job is done step by step. */
  alone?: boolean | undefined;
}

/** Every page: where one is and whether it has been sent at the top, the places at the side or foot, what to do at the bottom. */
export function Layout({ title, over, back, children, foot, alone = false }: LayoutProps) {
  const head = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    window.scrollTo(0, 0);
    // The page is shown first: all of this takes time, and to move the focus the browser wants styles and layout at once.
    return afterPaint(() => {
      document.title = `${title} · Lintel`;
      // Who reads by ear is told that the page has changed; the outline shows only for the keyboard.
      if (!isTypedIn(document.activeElement)) head.current?.focus({ preventScroll: true });
    });
  }, [title]);
  return (
    <div className={alone ? 'frame alone' : 'frame'}>
      <header className="top">
        {back === undefined ? null : (
          <Back href={back} />
        )}
        <div className="where">
          {over === undefined ? null : <span className="over">{over}</span>}
          <h1 ref={head} tabIndex={-1}>{title}</h1>
        </div>
        <SyncMark />
      </header>
      {alone ? null : <Places />}
      <main>
        <NewVersion />
        {children}
      </main>
      {foot === undefined ? null : <footer className="foot">{foot}</footer>}
    </div>
  );
}

/** Somebody was faster than the page and types already. */
const isTypedIn = (element: Element | null): boolean => element instanceof HTMLInputElement || element instanceof HTMLTextAreaElement;

const Back = memo(function Back({ href }: { href: string }) {
  return (
    <Link href={href} className="back" aria-label="Back">
      <svg viewBox="0 0 16 16" aria-hidden="true"><path d="M10.5 2.5 5 8l5.5 5.5" fill="none" stroke="currentColor" strokeWidth={2.4} /></svg>
    </Link>
  );
});

function Places() {
  const [location] = useLocation();
  const { kept } = useKept(countNeeds);
  return (
    <nav className="places" aria-label="Main">
      {places.map(({ href, word, path }) => {
        const here = href === '/' ? location === '/' : location.startsWith(href);
        const needs = href === '/needs' ? (kept ?? 0) : 0;
        return (
          <Link key={href} href={href} aria-current={here ? 'page' : undefined} className="place">
            <svg viewBox="0 0 16 16" aria-hidden="true"><path d={path} fill="none" stroke="currentColor" strokeWidth={1.6} /></svg>
            <span>{word}{needs > 0 ? <b className="badge">{needs}</b> : null}</span>
          </Link>
        );
      })}
    </nav>
  );
}
