import { palette } from '@lintel/ui';
import { Box, Typography } from '@mui/material';
import { useEffect } from 'react';
import type { ReactNode } from 'react';
import { Link } from 'react-router';

interface PageHeadProps {
  title: string;
  /** Where this page hangs: name and way up. */
  up?: { to: string; word: string } | undefined;
  /** One line of facts under the title. */
  facts?: ReactNode;
  actions?: ReactNode;
}

/** Title of a page, its way up, its facts and what can be done here. */
export function PageHead({ title, up, facts, actions }: PageHeadProps) {
  useEffect(() => {
    document.title = `${title} · Lintel`;
  }, [title]);
  return (
    <Box sx={{ display: 'flex', flexWrap: 'wrap', alignItems: 'flex-end', gap: '10px 20px', marginBottom: 2 }}>
      <Box sx={{ flex: '1 1 320px', minWidth: 0 }}>
        {up ? (
          <Box component={Link} to={up.to} sx={{ color: palette.slate, fontWeight: 600, textDecoration: 'none', '&:hover': { textDecoration: 'underline' } }}>
            <span aria-hidden="true">‹ </span>
            {up.word}
          </Box>
        ) : null}
        <Typography variant="h1" sx={{ overflowWrap: 'anywhere' }}>
          {title}
        </Typography>
        {facts ? (
          <Box sx={{ color: palette.inkSoft, marginTop: 0.6, display: 'flex', flexWrap: 'wrap', gap: '2px 18px', alignItems: 'center' }}>{facts}</Box>
        ) : null}
      </Box>
      {actions ? <Box sx={{ display: 'flex', flexWrap: 'wrap', gap: 1 }}>{actions}</Box> : null}
    </Box>
  );
}

interface PanelProps {
  title?: string;
  note?: ReactNode;
  actions?: ReactNode;
  children: ReactNode;
  /** Without inner space, for tables. */
  flush?: boolean;
}

/** A sheet with a heading; tables reach its edges. */
export function Panel({ title, note, actions, children, flush = false }: PanelProps) {
  return (
    <Box component="section" aria-label={title} sx={{ background: palette.paper, border: `1px solid ${palette.line}`, borderRadius: '3px', minWidth: 0 }}>
      {title || actions ? (
        <Box sx={{ display: 'flex', flexWrap: 'wrap', alignItems: 'center', gap: '4px 12px', padding: '11px 16px 9px' }}>
          {title ? <Typography variant="h2">{title}</Typography> : null}
          {note ? <Box sx={{ color: palette.slate, fontSize: '0.88rem' }}>{note}</Box> : null}
          <Box sx={{ flex: 1 }} />
          {actions}
        </Box>
      ) : null}
      <Box sx={{ padding: flush ? 0 : title ? '2px 16px 16px' : 2 }}>{children}</Box>
    </Box>
  );
}

/** Facts as term and value, in columns that fit. */
export function Facts({ rows }: { rows: readonly { term: string; value: ReactNode }[] }) {
  return (
    <Box component="dl" sx={{ margin: 0, display: 'grid', gridTemplateColumns: 'minmax(110px, max-content) 1fr', gap: '5px 16px' }}>
      {rows.map(({ term, value }) => (
        <Box key={term} sx={{ display: 'contents' }}>
          <Box component="dt" sx={{ color: palette.slate }}>
            {term}
          </Box>
          <Box component="dd" sx={{ margin: 0, minWidth: 0, overflowWrap: 'anywhere' }}>
            {value}
          </Box>
        </Box>
      ))}
    </Box>
  );
}

/** Sheets side by side where there is room, one below the other where there is not. */
export function Columns({ children, widths = '1fr 1fr' }: { children: ReactNode; widths?: string }) {
  return <Box sx={{ display: 'grid', gap: 2, gridTemplateColumns: { xs: 'minmax(0, 1fr)', lg: widths }, alignItems: 'start' }}>{children}</Box>;
}

export function Stack({ children }: { children: ReactNode }) {
  return <Box sx={{ display: 'grid', gap: 2, gridTemplateColumns: 'minmax(0, 1fr)' }}>{children}</Box>;
}
