import type { Point, Probe } from '../circuit/reading.ts';
import type { Step } from './step.ts';

/** What a step is about, without its reasons and what follows: enough to know it again. */
export type StepTarget =
  | { readonly kind: 'read'; readonly probe: Pick<Probe, 'red' | 'black' | 'offPart'> }
  | { readonly kind: 'lift'; readonly part: number; readonly pins: readonly number[] }
  | { readonly kind: 'remove' | 'refit' | 'replace'; readonly parts: readonly number[] }
  | { readonly kind: 'reflow'; readonly pins: readonly number[] }
  | { readonly kind: 'look'; readonly part: number; readonly pin?: number }
  | { readonly kind: 'inspect'; readonly nets: readonly [number, number] };

/**
 * Equal for steps that are the same to a person: readings at the same two points whatever the mode and
 * whichever way round, the same parts or legs in any order.
 */
export function stepKey(step: StepTarget | Step): string {
  switch (step.kind) {
    case 'read': {
      const { red, black, offPart } = step.probe;
      return `read ${inOrder([pointKey(red), pointKey(black)])} ${offPart ?? ''}`;
    }
    case 'lift':
    case 'reflow':
      return `${step.kind} ${inOrder(step.pins)}`;
    case 'remove':
    case 'refit':
    case 'replace':
      return `${step.kind} ${inOrder(step.parts)}`;
    case 'look':
      return `look ${step.part} ${step.pin ?? ''}`;
    case 'inspect':
      return `inspect ${inOrder(step.nets)}`;
    case 'done':
      return 'done';
  }
}

function pointKey({ net, pin }: Point): string {
  return pin === undefined ? `n${net}` : `p${pin}`;
}

function inOrder(items: readonly (string | number)[]): string {
  return items.map(String).sort().join(',');
}
