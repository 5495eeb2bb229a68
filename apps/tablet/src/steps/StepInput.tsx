import type { StepKind } from '@lintel/engine';
import type { ComponentType } from 'react';
import { ForceInput } from '../safety/ForceInput.js';
import { CounterInput } from './CounterInput.js';
import { MeasureInput } from './MeasureInput.js';
import { PartInput } from './PartInput.js';
import { PhotoInput } from './PhotoInput.js';
import { ChooseInput, ConfirmInput, TestInput, TextInput } from './simpleInputs.js';
import type { StepInputProps } from './types.js';

const inputs: { [Kind in StepKind]: ComponentType<StepInputProps<Kind>> } = {
  confirm: ConfirmInput,
  measure: MeasureInput,
  choose: ChooseInput,
  photograph: PhotoInput,
  'read-counter': CounterInput,
  'test-device': TestInput,
  'force-test': ForceInput,
  'fit-part': PartInput,
  text: TextInput,
};

/** What a step asks for. */
export function StepInput(props: StepInputProps) {
  // The kinds of step and input are one, which the compiler cannot see of a union.
  const Input = inputs[props.step.kind] as ComponentType<StepInputProps>;
  return <Input {...props} />;
}
