import { wearModel, wearModelList } from '@lintel/contract';
import type { ReadDefinition } from '../platform/resource/definition.js';

export const wearModels: ReadDefinition = {
  path: 'wear-models', room: 'wear', resource: 'wear-models', subject: 'wear-model', view: 'wear_model_list', record: wearModel,
  list: wearModelList, search: ['positionName', 'doorTypeName', 'kind'],
};
