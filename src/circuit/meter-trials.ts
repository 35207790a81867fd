import type { Complaint } from '../board/findings.ts';
import { Findings } from '../board/findings.ts';
import { nearest } from '../board/nearest.ts';
import { SourceText, type Spot } from '../board/source-text.ts';
import { parseQuantity } from '../board/units.ts';

/** One touch of a calibration, and where it was said. Resistances in Ω; `ohms` is the resistor's own. */
export type Trial = Spot & { readonly text: string } & (
    | { readonly kind: 'shows'; readonly ohms: number; readonly shown: number }
    | { readonly kind: 'beep' | 'quiet'; readonly ohms: number }
  );

/** Lines of a calibration, read; `findings` knows their places for what is said of them later. */
export interface Trials {
  readonly trials: readonly Trial[];
  readonly findings: Findings;
}

const WORDS: readonly string[] = ['leads', 'shows', 'beep', 'quiet'];
const EXAMPLES = '"leads 0.3 ohm", "10 ohm shows 10.3 ohm", "47 ohm beep" or "68 ohm quiet"';

/**
 * Reads the lines of a calibration: `leads 0.3 ohm` (probes held together), `10 ohm shows 10.3
 * ohm`, `47 ohm beep`, `68 ohm quiet`. Blank lines and what follows `#` say nothing. Lines that
 * cannot be read are in `findings`, not among the trials.
 */
export function readTrials(text: string, file: string): Trials {
  const findings = new Findings(new SourceText(text, file));
  const trials: Trial[] = [];
  let start = 0;
  for (const line of text.split('\n')) {
    const said = line.replace(/#.*$/, '').trimEnd();
    const at = start + said.length - said.trimStart().length;
    if (said.trim() !== '') {
      const spot = { start: at, end: start + said.length };
      const trial = readTrial(said.trim(), spot, findings);
      if (trial !== undefined) trials.push(trial);
    }
    start += line.length + 1;
  }
  return { trials, findings };
}

function readTrial(text: string, spot: Spot, findings: Findings): Trial | undefined {
  const value = (words: string, isZeroFine = false): number | undefined => {
    const ohms = parseQuantity(words, 'ohms');
    if (ohms !== undefined && (ohms > 0 || isZeroFine)) return ohms;
    const start = spot.start + text.lastIndexOf(words);
    findings.error({ start, end: start + words.length }, notOhms(words));
    return undefined;
  };
  const [, lead] = /^leads\s+(?:shows?\s+)?(.+)$/i.exec(text) ?? [];
  if (lead !== undefined) {
    const shown = value(lead, true);
    return shown === undefined ? undefined : { kind: 'shows', ohms: 0, shown, text, ...spot };
  }
  const [, known, read] = /^(.+?)\s+shows?\s+(.+)$/i.exec(text) ?? [];
  if (known !== undefined && read !== undefined) {
    const [ohms, shown] = [value(known), value(read, true)];
    if (ohms === undefined || shown === undefined) return undefined;
    return { kind: 'shows', ohms, shown, text, ...spot };
  }
  const [, touched, sound] = /^(.+?)\s+(beep|quiet)s?$/i.exec(text) ?? [];
  if (touched === undefined || sound === undefined) {
    findings.error(spot, noTrial(text));
    return undefined;
  }
  const ohms = value(touched);
  const kind = sound.toLowerCase() === 'beep' ? 'beep' : 'quiet';
  return ohms === undefined ? undefined : { kind, ohms, text, ...spot };
}

function notOhms(words: string): Complaint {
  return {
    code: 'BAD_VALUE',
    message: `"${words}" is not a resistance`,
    hint: 'for example 47 ohm, 4k7, 0.3',
  };
}

function noTrial(text: string): Complaint {
  const near = text.split(/\s+/).flatMap((word) => nearest(word, WORDS) ?? []);
  const [meant] = near.filter((word) => !text.toLowerCase().split(/\s+/).includes(word));
  return {
    code: 'NO_TRIAL',
    message: `"${text}" is no line of a calibration`,
    hint: meant === undefined ? `a line is ${EXAMPLES}` : `did you mean "${meant}"?`,
  };
}
