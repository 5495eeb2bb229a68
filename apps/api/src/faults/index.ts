import { listRoute, oneRoute, resource } from '../platform/resource/routes.js';
import { faultCodes, faults } from './definitions.js';
import { DoorFaultsController, FaultsController } from './faults.controller.js';

export const faultsRoom = {
  // The controller of fixed addresses stands before the one that takes any id.
  controllers: [...resource(faultCodes), listRoute(faults), FaultsController, oneRoute(faults), DoorFaultsController],
  providers: [],
};
