import type { LibraryDoorType } from '@lintel/contract';

/** The place on a door for one wearing part or safety device, with its default life rating. */
export type LibraryPosition = LibraryDoorType['positions'][number];

/** One recurring task of a default maintenance plan. */
export type LibraryTask = LibraryDoorType['plans'][number]['tasks'][number];
