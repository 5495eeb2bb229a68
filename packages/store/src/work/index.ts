export { createOrders, createOrdersIn, type Made } from './createOrders.js';
export { planOrders, type PlannedOrder } from './planOrders.js';
export { runDeviceCommands, type Sender } from './deviceCommands.js';
export { addFinding, cancelOrder, changeFinding, changeOrder, reviewOrder, workAtDesk, type DeskResult } from './deskWork.js';
export { readImage, storeImage } from './images.js';
export { releaseOrders } from './releaseOrders.js';
export type { Refused } from './technicianCommand.js';
export { UNSAFE_REASON } from './workEffects.js';
