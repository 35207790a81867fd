import type { PartList } from '../../board/part-list/part-list.ts';
import { type MeterFigures, meterFrom } from '../../circuit/meter-figures.ts';
import type { LineFault, OpeningReader } from '../event-line.ts';

/** The first event of a map's record. */
export interface MapOpening {
  /** What the board is called. */
  readonly map: string;
  /** The list of parts as it was named. */
  readonly file: string;
  /** SHA-256 of that file, hex. */
  readonly digest: string;
  /** A common handheld when it is not said. */
  readonly meter?: MeterFigures;
  readonly version: number;
}

export function openingOf(list: PartList, file: string, meter?: MeterFigures): MapOpening {
  const kept = meter === undefined ? {} : { meter };
  return { map: list.name, file, digest: list.digest, ...kept, version: 1 };
}

/** Reads the opening of a map back. */
export const mapOpening: OpeningReader<MapOpening> = (value): MapOpening | LineFault => {
  if (typeof value !== 'object' || value === null || !('map' in value)) return 'not an event';
  const { map, file, digest, meter, version } = value as Record<string, unknown>;
  if (typeof version !== 'number') return 'not an event';
  if (version !== 1) return 'newer form';
  if (meter !== undefined && meterFrom(meter) === undefined) return 'newer form';
  if (typeof map !== 'string' || typeof file !== 'string' || typeof digest !== 'string') {
    return 'not an event';
  }
  const kept = meter === undefined ? {} : { meter: meter as MeterFigures };
  return { map, file, digest, ...kept, version };
};
