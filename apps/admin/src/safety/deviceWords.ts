import type { ComplianceDevice } from '@lintel/contract';

export const deviceWords: Record<ComplianceDevice, string> = {
  'light-beam': 'Light beam',
  'bottom-edge': 'Bottom edge',
  'closing-force': 'Closing force',
  'slack-switch': 'Slack switches',
  'emergency-stop': 'Emergency stop',
  activation: 'Activation',
  warning: 'Warning',
  'supply-isolator': 'Supply isolator',
  other: 'Other safety devices',
};
