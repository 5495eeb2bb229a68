import { resource } from '../platform/resource/routes.js';
import { counters, doors, fittedParts } from './doors.js';
import { LabelsController } from './labels.controller.js';
import { LibraryController } from './library.controller.js';
import { owners, sites, zones } from './places.js';
import { doorTypes, positions } from './types.js';
import { FleetVerbsController } from './verbs.controller.js';
import { FleetVerbs } from './verbs.service.js';

export const fleetRoom = {
  controllers: [
    LibraryController,
    // Before the doors themselves: their route would take 'labels.pdf' for an id.
    LabelsController,
    ...[owners, sites, zones, doorTypes, positions, doors, counters, fittedParts].flatMap(resource),
    FleetVerbsController,
  ],
  providers: [FleetVerbs],
};
