import type { DerivedJob } from './derive.ts';

/** A function check: one of the shop's, or one of the technician's own. */
export interface FunctionState {
  readonly text: string;
  readonly state: 'to do' | 'passed' | 'failed';
  /** True for one the shop asks for. */
  readonly isAsked: boolean;
  readonly event?: number;
}

/**
 * The shop's checks in their order, then what else was said to be checked, each as last said since
 * the board was last changed. A check is the shop's when its words begin alike, in any letter case.
 */
export function functionStates(checks: readonly string[], job: DerivedJob): FunctionState[] {
  const said = job.functions.filter(({ event }) => event >= job.evidence.lastChange);
  const asked = checks.map((text): FunctionState => {
    const last = said.findLast((each) => isFor(text, each.text));
    if (last === undefined) return { text, state: 'to do', isAsked: true };
    return { text, state: last.result, isAsked: true, event: last.event };
  });
  const own = said.filter(({ text }) => !checks.some((check) => isFor(check, text)));
  return [
    ...asked,
    ...own.map(
      ({ text, result, event }): FunctionState => ({ text, state: result, isAsked: false, event }),
    ),
  ];
}

function isFor(check: string, said: string): boolean {
  const plain = (text: string): string => text.trim().toLowerCase().replace(/\s+/g, ' ');
  return plain(said).startsWith(plain(check));
}
