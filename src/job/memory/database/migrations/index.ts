/** Steps from an empty schema to the present one, each applied once and never changed afterwards. */
import { JOBS_AND_SUMS } from './001-jobs-and-sums.ts';

export interface Migration {
  readonly number: number;
  readonly what: string;
  readonly sql: string;
}

export const MIGRATIONS: readonly Migration[] = [
  { number: 1, what: 'jobs, and what they add up to', sql: JOBS_AND_SUMS },
];

/** The schema that this version of the tool works with. */
export const SCHEMA_NUMBER: number = MIGRATIONS.length;
