import { technicianCommand } from '@lintel/contract';
import type { TechnicianCommand } from '@lintel/contract';
import { count, formatMinutes, formatWhole, partKindWords, severityWords } from '@lintel/ui';
import { timeKindWords } from './orderWords.js';

/** What somebody wanted to do, in words; one that cannot be read says so. */
export function keptWords(given: unknown, step: (id: string) => string | undefined): string {
  const read = technicianCommand.safeParse(given);
  return read.success ? words(read.data, step) : 'A deed that this version does not know.';
}

function words(command: TechnicianCommand, step: (id: string) => string | undefined): string {
  switch (command.command) {
    case 'start':
      return 'Began the work';
    case 'answer':
      return `${step(command.stepId)?.replace(/\.$/, '') ?? 'A step'}: ${answerWords(command.answer)}${command.answer.remark ? `, “${command.answer.remark}”` : ''}`;
    case 'report':
      return `Found (${severityWords[command.finding.severity]}): ${command.finding.text}`;
    case 'complete':
      return command.passed ? 'Completed it as passed' : 'Completed it as not passed';
    case 'record-time':
      return `${timeKindWords[command.kind]}: ${formatMinutes(command.minutes)}`;
    case 'use-part':
      return `Used ${command.quantity} × ${command.name ?? partKindWords[command.kind].toLowerCase()}`;
    case 'sign':
      return `Signed by ${command.signerName}`;
  }
}

function answerWords(answer: Extract<TechnicianCommand, { command: 'answer' }>['answer']): string {
  switch (answer.kind) {
    case 'confirm':
      return answer.confirmed ? 'yes' : 'no';
    case 'measure':
      return `${answer.value} ${answer.unit}`;
    case 'choose':
      return answer.choice;
    case 'photograph':
      return count(answer.photoIds.length, 'photograph');
    case 'read-counter':
      return formatWhole(answer.value);
    case 'test-device':
      return answer.passed ? 'works' : 'does not work';
    case 'force-test':
      return count(answer.readings.length, 'reading');
    case 'fit-part':
      return [answer.removed ? 'part removed' : '', answer.fitted ? 'part fitted' : ''].filter(Boolean).join(', ');
    case 'text':
      return answer.text;
  }
}
