import { listRoute, oneRoute } from '../platform/resource/routes.js';
import { jobs, JobsController } from './jobs.controller.js';

export const jobsRoom = { controllers: [listRoute(jobs), oneRoute(jobs), JobsController], providers: [] };
