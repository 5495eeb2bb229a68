import { listRoute, oneRoute, resource } from '../platform/resource/routes.js';
import { CalendarsController } from './calendars.controller.js';
import { absences, calendarFeeds, routePlans, siteWindows, technicians, travelTimes, visits } from './definitions.js';
import { PlanVisitsController, RoutePlansController } from './routePlans.controller.js';
import { MapController } from './map.controller.js';
import { TravelTimesController } from './travelTimes.controller.js';
import { RoutePlansService } from './routePlans.service.js';

export const routesRoom = {
  controllers: [
    ...resource(technicians), ...resource(absences), ...resource(siteWindows), listRoute(routePlans), RoutePlansController, PlanVisitsController,
    listRoute(visits), oneRoute(visits), listRoute(calendarFeeds), CalendarsController, listRoute(travelTimes), TravelTimesController, MapController,
  ],
  providers: [RoutePlansService],
};
