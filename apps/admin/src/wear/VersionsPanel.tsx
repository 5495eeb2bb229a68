import type { WearModel } from '@lintel/contract';
import { formatInstant } from '@lintel/ui';
import { Box, Button } from '@mui/material';
import { useMay } from '../access/hooks.js';
import { Panel } from '../common/Page.js';
import { RecordTable } from '../common/RecordTable.js';
import type { Column } from '../common/RecordTable.js';
import { useDialog } from '../common/useDialog.js';
import { DecideDialog } from './DecideDialog.js';
import { LifeBandBar } from './LifeBandBar.js';
import { UseMark } from './UseMark.js';
import { poolWords } from './wearWords.js';

function columns(most: number, shownId: string): Column<WearModel>[] {
  return [
    { key: 'number', label: 'Version', cell: (model) => `${model.number}${model.id === shownId ? ' (this page)' : ''}` },
    { key: 'made', label: 'Made', cell: (model) => formatInstant(model.madeAt) },
    { key: 'lives', label: 'Failures, others', align: 'right', cell: (model) => `${model.failures}, ${model.suspensions}` },
    { key: 'pool', label: 'Learned from', wide: true, cell: (model) => poolWords[model.pool] },
    { key: 'b10', label: 'One in ten fails by', cell: (model) => <LifeBandBar age={model.b10} low={model.b10Low} high={model.b10High} unit={model.unit} most={most} /> },
    { key: 'use', label: 'Use', cell: (model) => <UseMark model={model} /> },
  ];
}

interface VersionsPanelProps {
  shownId: string;
  versions: readonly WearModel[];
  comparedId: string | null;
  onCompare: (id: string | null) => void;
}

/** The versions of a model beside each other; one may be laid over the plot, and an administrator may fix one. */
export function VersionsPanel({ shownId, versions, comparedId, onCompare }: VersionsPanelProps) {
  const mayDecide = useMay('write', 'wear-models');
  const { subject, open, close } = useDialog<WearModel>();
  const most = Math.max(...versions.map(({ b10High }) => b10High)) * 1.05;
  return (
    <Panel title="Versions" note="A fixed version stays in use, whatever is learned later" flush>
      <RecordTable<WearModel>
        label="Versions of the model"
        columns={columns(most, shownId)}
        records={versions}
        href={(model) => `/wear-models/${model.id}/show`}
        renderDeeds={(model) => (
          <Box sx={{ display: 'flex', gap: 0.5, justifyContent: { sm: 'flex-end' } }}>
            {model.id === shownId ? null : (
              <Button size="small" aria-pressed={comparedId === model.id} onClick={() => onCompare(comparedId === model.id ? null : model.id)} aria-label={`${comparedId === model.id ? 'Take away' : 'Compare'}: version ${model.number}`}>
                {comparedId === model.id ? 'Take away' : 'Compare'}
              </Button>
            )}
            {mayDecide ? (
              <Button size="small" onClick={() => open(model)} aria-label={`${model.fixed ? 'Release' : 'Fix'}: version ${model.number}`}>
                {model.fixed ? 'Release' : 'Fix'}
              </Button>
            ) : null}
          </Box>
        )}
      />
      {subject ? <DecideDialog model={subject} onClose={close} /> : null}
    </Panel>
  );
}
