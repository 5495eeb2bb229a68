export type * from './libraryTypes.js';
export { DEFAULT_RATING_SOURCE } from './libraryPositions.js';
export { doorTypeLibrary, libraryDoorType } from './library.js';
export { addDoorTypeFromLibrary } from './libraryAdd.js';
export { addDoor } from './addDoor.js';
