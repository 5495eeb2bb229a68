import type { WholeWorkOrder } from '@lintel/contract';
import { DoorElevation, outcomeWords } from '@lintel/ui';
import { Trouble, Waiting } from '../common/faces.js';
import { Panel } from '../common/Page.js';
import { useDoor } from '../fleet/doors/useDoor.js';
import { positionOutcomes, stepNumbers } from './steps.js';

interface OrderDrawingProps {
  order: WholeWorkOrder;
  selected: string | null;
  onSelect: (id: string | null) => void;
}

/** The door, with what the order does at each position that it touches. */
export function OrderDrawing({ order, selected, onSelect }: OrderDrawingProps) {
  const { door, site, positions, error, isPending, refetch } = useDoor(order.doorId);
  const touched = positionOutcomes(order);
  const numbers = stepNumbers(order);
  if (error && !door) return <Trouble error={error} again={() => void refetch()} />;
  if (isPending || !door || !site) return <Waiting what="the door" />;
  const shown = touched.size > 0 ? positions.filter(({ id }) => touched.has(id)) : positions;
  return (
    <Panel title="The door" note={touched.size > 0 ? 'Positions that this order touches, with the numbers of their steps; choose one to see these alone' : 'This order touches no single position'}>
      <DoorElevation
        name={`door ${door.name}`}
        kind={door.kind}
        heated={door.heated}
        widthMm={door.widthMm}
        heightMm={door.heightMm}
        units={site.units}
        state={door.state}
        maxHeight={420}
        positions={shown.map(({ id, position, part }) => {
          const outcome = touched.get(id);
          return {
            id,
            name: position.name,
            drawnX: position.drawnX,
            drawnY: position.drawnY,
            condition: part?.condition ?? null,
            ...(outcome ? { word: `${numbers.get(id)?.join(', ') ?? ''} ${outcome === 'open' ? 'to do' : outcomeWords[outcome]}` } : {}),
          };
        })}
        selectedId={selected}
        onSelect={(id) => onSelect(id === selected ? null : id)}
      />
    </Panel>
  );
}
