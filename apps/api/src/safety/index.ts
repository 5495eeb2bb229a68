import { listRoute, oneRoute, resource } from '../platform/resource/routes.js';
import { CertificateKeysController, CertificatesController } from './certificates.controller.js';
import { CertificatesService } from './certificates.service.js';
import { certificateKeys, certificates } from './certificates.js';
import { ComplianceController } from './compliance.controller.js';
import { calibrations, competences, instruments } from './definitions.js';
import { SafetyController } from './safety.controller.js';
import { SafetyService } from './safety.service.js';

export const safetyRoom = {
  controllers: [
    ...[instruments, calibrations, competences].flatMap(resource), SafetyController, ComplianceController,
    listRoute(certificates), CertificatesController, listRoute(certificateKeys), CertificateKeysController, oneRoute(certificateKeys),
  ],
  providers: [SafetyService, CertificatesService],
};
