// A door of its own to the reader of force files, so that it is loaded only where such a file is chosen.
export { readForceFile } from '@lintel/contract';
