import { listRoute, oneRoute, resource } from '../platform/resource/routes.js';
import { chainMeasurements, wearModels } from './definitions.js';
import { WearController } from './wear.controller.js';
import { WearService } from './wear.service.js';

export const wearRoom = {
  controllers: [listRoute(wearModels), oneRoute(wearModels), ...resource(chainMeasurements), WearController],
  providers: [WearService],
};
