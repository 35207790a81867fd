import { isMeterPlace } from '../../bench/meter/place.ts';
import { InputError } from '../../board/diagnostic.ts';
import type { Meter } from '../../circuit/meter.ts';
import type { Arguments, Context } from '../context.ts';
import { meterOption, openMeter } from '../meters.ts';
import { sounderFor } from '../sound.ts';
import type { Listener } from './listener.ts';

/** What `--meter` and `--figures` say, where `--meter` names figures or a meter that answers by itself. */
export interface MeterWords {
  /** Where a meter answers. */
  readonly link?: string;
  readonly figures?: Meter;
}

/**
 * @throws {InputError} when a named meter is not there, or figures are named twice
 */
export async function meterWords(
  context: Context,
  options: Arguments['options'],
): Promise<MeterWords> {
  const { meter, figures } = options;
  const link = typeof meter === 'string' && isMeterPlace(meter) ? meter : undefined;
  if (typeof figures !== 'string') {
    if (link !== undefined) return { link };
    const named = await meterOption(context, options);
    return named === undefined ? {} : { figures: named };
  }
  if (link === undefined && meter !== undefined) {
    refuse('--meter and --figures both name figures', 'name them once');
  }
  const held = await openMeter(context, figures);
  return link === undefined ? { figures: held } : { link, figures: held };
}

/** What a person talks to at a terminal, and the meter that answers beside the keys. */
export interface Desk {
  readonly context: Context;
  readonly listener?: Listener;
  /** Rings when a meter's answer was recorded; without a meter nothing does. */
  ring(sound: 'recorded' | 'attention'): void;
}

/** Runs something at the terminal, with the meter at the place a word names, if one does. */
export async function atDesk<Result>(
  context: Context,
  link: string | undefined,
  run: (desk: Desk) => Promise<Result>,
): Promise<Result> {
  if (link === undefined) return await run({ context, ring: () => undefined });
  const { linkMeter } = await import('./meter-link.ts');
  const { Listener } = await import('./listener.ts');
  const linked = await linkMeter(context, link);
  const sounder = sounderFor(context, { sound: true });
  const listener = new Listener(linked.feed, () => sounder.play('attention'));
  try {
    return await run({
      context: linked.context,
      listener,
      ring: (sound) => sounder.play(sound),
    });
  } finally {
    sounder.stop();
    linked.feed.close();
    // Keys that came from a terminal of their own keep it open.
    if (linked.context.stdin !== context.stdin) linked.context.stdin.destroy();
  }
}

/**
 * Whether a call stays at the terminal: nothing is said in its words, and a person is there to talk to.
 * @throws {InputError} when a meter is to be listened to and nobody is there
 */
export function isTalk(
  { stdin, stderr, json }: Context,
  says: readonly string[],
  link: string | undefined,
): boolean {
  const hasKeys = link === '-' || stdin.isTTY === true;
  const talks = says.length === 0 && !json && hasKeys && stderr.isTTY === true;
  if (link !== undefined && !talks) {
    refuse(
      'a meter that answers by itself needs a terminal, and no lines beside',
      'elsewhere, say the readings as lines',
    );
  }
  return talks;
}

function refuse(message: string, hint: string): never {
  throw new InputError([{ code: 'USAGE', severity: 'error', message, hint }]);
}
