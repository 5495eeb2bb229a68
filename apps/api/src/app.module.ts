import { Module, type DynamicModule, type Provider, type Type } from '@nestjs/common';
import { APP_FILTER, APP_GUARD } from '@nestjs/core';
import { dutyRoom } from './duty/index.js';
import { faultsRoom } from './faults/index.js';
import { fleetRoom } from './fleet/index.js';
import { jobsRoom } from './jobs/index.js';
import { ledgerRoom } from './ledger/index.js';
import { peopleRoom } from './people/index.js';
import { SessionGuard } from './people/sessionGuard.js';
import { HealthController } from './platform/health.controller.js';
import { KnownRoutes } from './platform/knownRoutes.js';
import { Metrics } from './platform/metrics.js';
import { OpenApiController, OpenApiText } from './platform/openApi.js';
import { API_OPTIONS, STORE, type ApiOptions } from './platform/options.js';
import { ProblemFilter } from './platform/problemFilter.js';
import { RateLimits } from './platform/rateLimits.js';
import { Reader } from './platform/resource/reader.js';
import { Writer } from './platform/resource/writer.js';
import { safetyRoom } from './safety/index.js';
import { routesRoom } from './routes/index.js';
import { stockRoom } from './stock/index.js';
import { upkeepRoom } from './upkeep/index.js';
import { workRoom } from './work/index.js';
import { wearRoom } from './wear/index.js';

interface Room {
  controllers: Type[];
  providers: Provider[];
}

const rooms: Room[] = [peopleRoom, fleetRoom, dutyRoom, faultsRoom, upkeepRoom, wearRoom, safetyRoom, jobsRoom, ledgerRoom, routesRoom, stockRoom, workRoom];

@Module({})
export class AppModule {
  static with(options: ApiOptions): DynamicModule {
    return {
      module: AppModule,
      controllers: [HealthController, OpenApiController, ...rooms.flatMap((room) => room.controllers)],
      providers: [
        { provide: API_OPTIONS, useValue: options },
        { provide: STORE, useValue: options.store },
        { provide: APP_GUARD, useClass: SessionGuard },
        { provide: APP_FILTER, useClass: ProblemFilter },
        KnownRoutes, RateLimits, Metrics, OpenApiText, Reader, Writer,
        ...rooms.flatMap((room) => room.providers),
      ],
    };
  }
}
