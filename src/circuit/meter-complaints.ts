import type { Diagnostic } from '../board/diagnostic.ts';
import type { Complaint } from '../board/findings.ts';

/** Every complaint about a meter file that is not one about any file: code, wording, how to mend it. */

export const noMeters = (): Complaint => ({
  code: 'EMPTY',
  message: 'the file holds no meter',
  hint: 'a meter file is "its name:" and below it beeper, leads, contact, gain and modes',
});

export const spreadTooSmall = (): Complaint => ({
  code: 'BAD_VALUE',
  message: 'no beeper is that exact',
  hint: 'a spread is at least 1%',
});

export const rangesOutOfOrder = (): Complaint => ({
  code: 'RANGE_ORDER',
  message: 'this range shows no more ohms than the one before it',
  hint: 'ranges go from the lowest to the highest',
});

export const openRangeNotLast = (): Complaint => ({
  code: 'RANGE_ORDER',
  message: 'a range without "ohms" shows everything, so no range can follow it',
  hint: 'say what this range shows at most',
});

export const rangeBeyondVolts = (ohmsReached: string): Complaint => ({
  code: 'RANGE_VOLTS',
  message: `at this current the volts of the mode are used up at ${ohmsReached}`,
  hint: 'a higher range has a smaller current, or the mode drives more volts',
});

/** What the checks shared with board files say, in the words of a meter file. */
export function inMeterWords(diagnostic: Diagnostic): Diagnostic {
  const message = diagnostic.message.replace('board files use', 'meter files use');
  const { hint, ...rest } = diagnostic;
  const isOfBoards = hint?.includes('kind jumper') === true;
  return hint === undefined || isOfBoards ? { ...rest, message } : { ...rest, message, hint };
}
