import { listRoute, oneRoute } from '../platform/resource/routes.js';
import { DutyController } from './duty.controller.js';
import { imports } from './imports.js';
import { ImportsController } from './imports.controller.js';
import { ImportsService } from './imports.service.js';
import { readings } from './readings.js';
import { ReadingsController } from './readings.controller.js';

export const dutyRoom = {
  controllers: [
    listRoute(readings), ReadingsController, DutyController, listRoute(imports), oneRoute(imports), ImportsController,
  ],
  providers: [ImportsService],
};
