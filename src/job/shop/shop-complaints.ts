import type { Diagnostic } from '../../board/diagnostic.ts';
import type { Complaint } from '../../board/findings.ts';
import { nearest } from '../../board/nearest.ts';

/** Every complaint about a settings file that is not one about any file: code, wording, how to mend it. */

export const noSettings = (): Complaint => ({
  code: 'EMPTY',
  message: 'the file holds no settings',
  hint: '`trace-short shop --write FILE` makes one to start from',
});

export const tooBig = (megabytes: number): Complaint => ({
  code: 'TOO_BIG',
  message: `the file is larger than ${megabytes} MB`,
});

export const shareOutOfRange = (least: string, most: string): Complaint => ({
  code: 'BAD_VALUE',
  message: `this share must lie between ${least} and ${most}`,
});

export const clearAboveSure = (): Complaint => ({
  code: 'BAD_VALUE',
  message: '"clear-below" must be less than "sure-from"',
  hint: 'a repair that is sure would not be suspected any more',
});

export const warnAboveRefuse = (): Complaint => ({
  code: 'BAD_VALUE',
  message: '"warn-volts" must not be more than "refuse-volts"',
});

export const unknownKindHere = (word: string, known: Iterable<string>): Complaint => {
  const near = nearest(word, known);
  return {
    code: 'UNKNOWN_KIND',
    message: `the catalogue has no kind "${word}"`,
    hint: near === undefined ? 'it counts only for boards that add it' : `did you mean "${near}"?`,
  };
};

/** What the checks shared with board files say, in the words of a settings file. */
export function inShopWords(diagnostic: Diagnostic): Diagnostic {
  const message = diagnostic.message
    .replace('board files use', 'settings files use')
    .replace('is not a tolerance', 'is not a share in percent')
    .replace('a tolerance such as 1%', 'a share such as 5%');
  return { ...diagnostic, message };
}
