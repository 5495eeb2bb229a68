import { listRoute, resource } from '../platform/resource/routes.js';
import { completions, dueItems, plans, tasks } from './definitions.js';
import { OutlookController } from './outlook.controller.js';
import { OutlookService } from './outlook.service.js';

export const upkeepRoom = {
  controllers: [...[plans, tasks, completions].flatMap(resource), listRoute(dueItems), OutlookController],
  providers: [OutlookService],
};
