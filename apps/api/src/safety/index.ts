import { resource } from '../platform/resource/routes.js';
import { ComplianceController } from './compliance.controller.js';
import { calibrations, competences, instruments } from './definitions.js';
import { SafetyController } from './safety.controller.js';
import { SafetyService } from './safety.service.js';

export const safetyRoom = {
  controllers: [...[instruments, calibrations, competences].flatMap(resource), SafetyController, ComplianceController],
  providers: [SafetyService],
};
