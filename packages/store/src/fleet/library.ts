import type { DoorKind, LibraryDoorType } from '@lintel/contract';
import { commonPositions, freezerPositions, inOrder } from './libraryPositions.js';
import {
  deviceCheckTask,
  dockImpactTask,
  driveServiceTask,
  electricalServiceTask,
  frameHeatingTask,
  panelServiceTask,
  yearlyInspectionTask,
} from './libraryTasks.js';

const ISOLATOR_NOTE =
  'The supply isolator is the only point where an electrician brings in the supply (common practice, no source); ' +
  'only a licensed electrician does so. ';

const everyDoorTasks = [deviceCheckTask, yearlyInspectionTask, driveServiceTask, panelServiceTask, electricalServiceTask];

/**
 * Generic door types to start from; no maker's. Supply of freezer and cooler doors: common practice, no source; of the dock
 * door: taken to be that of the cooler door, being unheated as well. Shortest cycles are lower bounds, set on the safe side.
 */
export const doorTypeLibrary: readonly LibraryDoorType[] = [
  {
    kind: 'freezer',
    doorType: {
      name: 'Freezer door',
      kind: 'freezer',
      supplyVolts: 240,
      heated: true,
      widthMm: 2400,
      heightMm: 3000,
      minCycleSeconds: 5,
      notes: `${ISOLATOR_NOTE}Heated frame with fans. Supply voltage: common practice, no source; the type plate decides.`,
    },
    positions: inOrder([...commonPositions, ...freezerPositions]),
    plans: [{ plan: { name: 'Default plan, freezer door' }, tasks: [...everyDoorTasks, frameHeatingTask] }],
  },
  {
    kind: 'cooler',
    doorType: {
      name: 'Cooler door',
      kind: 'cooler',
      supplyVolts: 115,
      heated: false,
      widthMm: 2400,
      heightMm: 3000,
      minCycleSeconds: 5,
      notes: `${ISOLATOR_NOTE}Supply voltage: common practice, no source; the type plate decides.`,
    },
    positions: inOrder(commonPositions),
    plans: [{ plan: { name: 'Default plan, cooler door' }, tasks: everyDoorTasks }],
  },
  {
    kind: 'dock',
    doorType: {
      name: 'Dock door',
      kind: 'dock',
      supplyVolts: 115,
      heated: false,
      widthMm: 3000,
      heightMm: 3500,
      minCycleSeconds: 6,
      notes: `${ISOLATOR_NOTE}Supply voltage taken to be that of the cooler door; the type plate decides.`,
    },
    positions: inOrder(commonPositions),
    plans: [{ plan: { name: 'Default plan, dock door' }, tasks: [...everyDoorTasks, dockImpactTask] }],
  },
];

/** The generic door type of a kind. @throws RangeError if there is none. */
export function libraryDoorType(kind: DoorKind): LibraryDoorType {
  const found = doorTypeLibrary.find((type) => type.kind === kind);
  if (found === undefined) throw new RangeError(`no door type of kind ${JSON.stringify(kind)} in the library`);
  return found;
}
