import { listRoute, oneRoute, resource } from '../platform/resource/routes.js';
import { findings, manuals, workOrders } from './definitions.js';
import { DeviceController } from './device.controller.js';
import { DeviceStateService } from './deviceState.service.js';
import { FindingsController } from './findings.controller.js';
import { WorkImagesController } from './images.controller.js';
import { WorkDeskController, WorkOrdersController } from './orders.controller.js';
import { WorkService } from './orders.service.js';

export const workRoom = {
  controllers: [
    listRoute(workOrders), WorkOrdersController, WorkDeskController,
    listRoute(findings), oneRoute(findings), FindingsController,
    WorkImagesController, DeviceController, ...resource(manuals),
  ],
  providers: [WorkService, DeviceStateService],
};
