import {
  chainMeasurement, chainMeasurementCreate, chainMeasurementList, wearModel, wearModelList, type ChainMeasurementCreate,
} from '@lintel/contract';
import { recordChainMeasurement } from '@lintel/store';
import { invalidField } from '../platform/refusal.js';
import type { ReadDefinition, WriteDefinition } from '../platform/resource/definition.js';

const room = 'wear';

export const wearModels: ReadDefinition = {
  path: 'wear-models', room, resource: 'wear-models', subject: 'wear-model', view: 'wear_model_list', record: wearModel,
  list: wearModelList, search: ['positionName', 'doorTypeName', 'kind'],
};

/** A measurement is a fact: made, never changed; another one may correct it. */
export const chainMeasurements: WriteDefinition = {
  path: 'chain-measurements', room, resource: 'chain-measurements', subject: 'chain-measurement', view: 'chain_measurement_list',
  record: chainMeasurement, list: chainMeasurementList, search: ['doorName', 'note'],
  model: 'chainMeasurement',
  create: {
    schema: chainMeasurementCreate,
    async act(db, context, given) {
      const made = await recordChainMeasurement(db, context, given as unknown as ChainMeasurementCreate, new Date());
      if ('field' in made) throw invalidField(made.field, made.message);
      return made.id;
    },
  },
};
