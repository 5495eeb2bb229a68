import type { FindingRow } from '@lintel/contract';
import { OutcomeMark, SeverityMark, formatInstant, palette } from '@lintel/ui';
import { Box, Typography } from '@mui/material';
import type { ReactNode } from 'react';
import { Link } from 'react-router';
import { orderLink } from './orderWords.js';

/** One finding: how bad, what, where, and what became of it. */
export function FindingLine({ finding, timeZone, children }: { finding: FindingRow; timeZone?: string | undefined; children?: ReactNode }) {
  const urgent = finding.severity === 'unsafe' && finding.open;
  return (
    <Box component="li" sx={{ padding: '8px 16px', borderTop: `1px solid ${palette.lineSoft}`, ...(urgent ? { boxShadow: `inset 5px 0 0 ${palette.signal}`, background: palette.signalSoft } : {}) }}>
      <Box sx={{ display: 'flex', flexWrap: 'wrap', gap: '2px 14px', alignItems: 'center' }}>
        <SeverityMark severity={finding.severity} />
        {finding.positionName ? <strong>{finding.positionName}</strong> : null}
        {finding.open ? <span>open</span> : <OutcomeMark outcome="passed" word="put right" />}
      </Box>
      <Box sx={{ whiteSpace: 'pre-wrap', overflowWrap: 'anywhere' }}>{finding.text}</Box>
      <Box sx={{ color: palette.slate, fontSize: '0.88rem', display: 'flex', flexWrap: 'wrap', gap: '0 12px' }}>
        <span>
          {formatInstant(finding.foundAt, timeZone)}
          {finding.accountName ? `, ${finding.accountName}` : ''}
        </span>
        {finding.workOrderId && finding.workOrderNumber ? <Link to={orderLink(finding.workOrderId)}>found in No. {finding.workOrderNumber}</Link> : null}
        {finding.correctiveId && finding.correctiveNumber ? <Link to={orderLink(finding.correctiveId)}>to be put right by No. {finding.correctiveNumber}</Link> : null}
        {finding.clearedById ? <Link to={orderLink(finding.clearedById)}>cleared by its retest</Link> : null}
      </Box>
      {finding.resolution ? <Box>Put right: {finding.resolution}</Box> : null}
      {children}
    </Box>
  );
}

export function RetestLines({ title, findings }: { title: string; findings: readonly FindingRow[] }) {
  if (findings.length === 0) return null;
  return (
    <Box sx={{ marginTop: 1.2 }}>
      <Typography variant="h3">{title}</Typography>
      <Box component="ul" sx={{ listStyle: 'none', margin: 0, padding: 0, marginInline: -2 }}>
        {findings.map((finding) => (
          <FindingLine key={finding.id} finding={finding} />
        ))}
      </Box>
    </Box>
  );
}
