/** All that a bench asks of the shop's database, each prepared by the server under its name. */
import { LOOKED_BACK } from '../model-sums.ts';
import { MOST_PARTS } from '../store.ts';
import type { Statement } from './link.ts';

/**
 * Everything that opening a job needs, in one question and so as of one moment: a model's sums, those of all
 * other models, what was found on its last boards, and the form of the schema.
 * $1: the model's name as the board file has it
 */
export const PAST: Statement = {
  name: 'past',
  text: `
with own as (
  select m.id, m.teaching from trace_short.model m where m.name = trace_short.goes_by($1)
), sums as (
  select f.what, f.key, f.s1, f.s2, f.s3 from own cross join lateral trace_short.figures_of(own.id) f
)
select 'form' as "of", '' as what, '' as key, max(v.number)::numeric as s1, 0 as s2, 0 as s3
from trace_short.version v
union all
select 'model', s.what, s.key, s.s1, s.s2, s.s3 from sums s where s.s1 <> 0 or s.s2 <> 0 or s.s3 <> 0
union all
select 'others', w.what, w.key, w.s1 - coalesce(s.s1, 0), w.s2 - coalesce(s.s2, 0), w.s3 - coalesce(s.s3, 0)
from trace_short.whole w left join sums s on s.what = w.what and s.key = w.key
where w.s1 <> coalesce(s.s1, 0) or w.s2 <> coalesce(s.s2, 0) or w.s3 <> coalesce(s.s3, 0)
union all
select 'last', 'boards', '', least(own.teaching, ${LOOKED_BACK}), 0, 0 from own
union all
select 'last', 'found', found.part, count(*), 0, 0
from own
cross join lateral (
  select j.counts from trace_short.job j
  where j.model = own.id and j.weight > 0
  order by j.at desc, j.job desc limit ${LOOKED_BACK}
) recent
cross join lateral jsonb_each(recent.counts -> 'found') found(part, figures)
group by found.part`,
};

/** $1 job, $2 model's name, $3 last entry, $4 how much it teaches, $5 sum, $6 lesson, $7 counts, $8 words or null */
export const HAND_IN: Statement = {
  name: 'hand-in',
  text: 'select trace_short.hand_in($1, $2, $3, $4, $5, $6, $7, $8) as became',
};

export const MODELS: Statement = {
  name: 'models',
  text: `
select m.name, m.jobs, m.teaching, coalesce(f.fails, '[]') as fails
from trace_short.model m
left join lateral (
  select jsonb_agg(jsonb_build_object('part', t.key, 'boards', t.s1)) as fails
  from (
    select key, s1 from trace_short.tally
    where model = m.id and what = 'found' and s1 > 0
    order by s1 desc, key limit ${MOST_PARTS}
  ) t
) f on true
where m.jobs > 0
order by m.name`,
};

/** $1: the name the model goes by */
export const LESSONS_OF: Statement = {
  name: 'lessons-of',
  text: `
select j.lesson, w.words from trace_short.model m
join trace_short.job j on j.model = m.id
left join trace_short.words w on w.job = j.job
where m.name = $1`,
};

/** A page of all lessons. $1: the last job of the page before, $2: how many */
export const LESSONS: Statement = {
  name: 'lessons',
  text: 'select job, lesson from trace_short.job where job > $1 order by job limit $2',
};

export const KNOWS: Statement = {
  name: 'knows',
  text: 'select exists (select from trace_short.job where job = $1) as known',
};

export const NAMES: Statement = {
  name: 'names',
  text: 'select name from trace_short.model_name order by name',
};

export const FORGOTTEN: Statement = {
  name: 'forgotten',
  text: 'select job from trace_short.forgotten order by job',
};
export const SAME_AS: Statement = {
  name: 'same-as',
  text: 'select name, same from trace_short.same_as order by name',
};

export const FORGET: Statement = { name: 'forget', text: 'select trace_short.forget($1)' };
export const RECALL: Statement = { name: 'recall', text: 'select trace_short.recall($1)' };
export const MERGE: Statement = { name: 'merge', text: 'select trace_short.merge($1, $2)' };
export const RECOUNT: Statement = { name: 'recount', text: 'select trace_short.recount_all()' };
