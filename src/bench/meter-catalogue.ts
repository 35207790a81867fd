import { readFileSync } from 'node:fs';
import type { Meter } from '../circuit/meter.ts';
import { loadMeters } from '../circuit/meter-file.ts';
import { METERS_FILE } from './meters-file.ts';

let kept: ReadonlyMap<string, Meter> | undefined;

/** The meters that come with the package, by name. Read once per run, when first asked for. */
export function meterCatalogue(): ReadonlyMap<string, Meter> {
  kept ??= loadMeters(readFileSync(METERS_FILE, 'utf8'), 'meters.yaml');
  return kept;
}
