import type { WorkRefusalFacts } from '@lintel/contract';
import { OutcomeMark, count, palette } from '@lintel/ui';
import { Box, Button, Dialog, DialogActions, DialogContent, DialogTitle } from '@mui/material';
import { Link } from 'react-router';
import { sentenceOf } from './refusals.js';
import { useRefusalNames } from './useRefusalNames.js';

/** What became of one of many. */
export interface DeedResult {
  id: string;
  name: string;
  link: string | null;
  /** By the rules of the work; null: it was done, unless `trouble` says otherwise. */
  refusal: WorkRefusalFacts | null;
  /** What else was in the way, in the server's words. */
  trouble?: string | undefined;
}

interface ResultsDialogProps {
  title: string;
  /** The deed as done: `released`. */
  done: string;
  lines: readonly DeedResult[];
  onClose: () => void;
}

const refused = ({ refusal, trouble }: DeedResult): boolean => refusal !== null || trouble !== undefined;

/** Each order's own result, the refused ones first with their reason as a sentence. */
export function ResultsDialog({ title, done, lines, onClose }: ResultsDialogProps) {
  const names = useRefusalNames(lines.flatMap(({ refusal }) => refusal ?? []));
  const ordered = [...lines].sort((a, b) => Number(refused(b)) - Number(refused(a)));
  const failed = lines.filter(refused).length;
  return (
    <Dialog open onClose={onClose} fullWidth maxWidth="md" aria-labelledby="results-title">
      <DialogTitle id="results-title">
        {title}: {lines.length - failed} {done}{failed > 0 ? `, ${count(failed, 'order')} refused` : ''}
      </DialogTitle>
      <DialogContent>
        <Box component="ul" aria-label="What became of each" sx={{ listStyle: 'none', margin: 0, padding: 0 }}>
          {ordered.map((line) => (
            <Box component="li" key={line.id} sx={{ display: 'grid', gridTemplateColumns: { xs: '1fr', sm: '110px 1fr' }, gap: '0 12px', padding: '7px 0', borderTop: `1px solid ${palette.lineSoft}` }}>
              {refused(line) ? <OutcomeMark outcome="failed" word="refused" /> : <OutcomeMark outcome="passed" word={done} />}
              <Box>
                {line.link ? <Link to={line.link} onClick={onClose}>{line.name}</Link> : line.name}
                {line.refusal ? <Box sx={{ color: palette.signalDeep }}>{sentenceOf(line.refusal, names)}</Box> : null}
                {line.trouble ? <Box sx={{ color: palette.signalDeep }}>{line.trouble}</Box> : null}
              </Box>
            </Box>
          ))}
        </Box>
      </DialogContent>
      <DialogActions sx={{ padding: '8px 24px 18px' }}>
        <Button variant="contained" onClick={onClose}>Good</Button>
      </DialogActions>
    </Dialog>
  );
}
