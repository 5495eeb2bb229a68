import { listRoute, oneRoute } from '../platform/resource/routes.js';
import { wearModels } from './definitions.js';
import { WearController } from './wear.controller.js';
import { WearService } from './wear.service.js';

export const wearRoom = { controllers: [listRoute(wearModels), oneRoute(wearModels), WearController], providers: [WearService] };
