/**
 * Jobs, and what they add up to. Sums are exact (numeric): what is put in can be taken out again to the last
 * digit, whatever came between, so that sums kept up job by job are those of a count made anew.
 *
 * A job fades with every later one of its model. Faded sums would all change with each job that comes in, so they
 * are kept the other way round: a job counts `2^(place / half_after)`, place being how many came before it, and
 * whoever reads divides by what the newest counts. `base` keeps these powers small.
 */
export const JOBS_AND_SUMS: string = `
create table trace_short.shop (
  one boolean primary key default true check (one),
  half_after float8 not null check (half_after >= 1)
);

-- What is counted, how it fades, and whether other models learn from it.
create table trace_short.counted (
  what text collate "C" primary key,
  fades text not null check (fades in ('by teaching jobs', 'by jobs', 'never')),
  shared boolean not null
);
insert into trace_short.counted values
  ('boards', 'by teaching jobs', true),
  ('part', 'by teaching jobs', false),
  ('kind', 'by teaching jobs', true),
  ('duty', 'by teaching jobs', true),
  ('joint', 'by teaching jobs', false),
  ('joints', 'by teaching jobs', true),
  ('bank', 'by teaching jobs', false),
  ('banks', 'by teaching jobs', true),
  ('unit', 'by teaching jobs', false),
  ('pair', 'by teaching jobs', false),
  ('expected kind', 'by teaching jobs', true),
  ('expected duty', 'by teaching jobs', true),
  ('expected joints', 'by teaching jobs', true),
  ('expected banks', 'by teaching jobs', true),
  ('minutes', 'by jobs', true),
  ('minutes of a hand', 'by jobs', true),
  ('found', 'never', false);

create table trace_short.model (
  id integer generated always as identity primary key,
  name text collate "C" not null unique,
  jobs integer not null default 0,
  teaching integer not null default 0,
  jobs_base integer not null default 0,
  teaching_base integer not null default 0
) with (fillfactor = 70);

-- Names as the records have them, and the model that each goes by.
create table trace_short.model_name (
  name text collate "C" primary key,
  model integer not null references trace_short.model
);
create table trace_short.same_as (
  name text collate "C" primary key,
  same text collate "C" not null
);
create table trace_short.forgotten (job text collate "C" primary key);

create table trace_short.job (
  job text collate "C" primary key,
  name text collate "C" not null references trace_short.model_name,
  -- None: it is not counted.
  model integer references trace_short.model,
  at text collate "C" not null,
  weight numeric not null check (weight >= 0),
  -- How many jobs of the model came before it, and how many of those that teach.
  place integer,
  teaching_place integer,
  -- Of all that was handed in.
  sum text not null,
  lesson jsonb not null,
  counts jsonb not null,
  handed_in timestamptz not null default now()
);
create index job_of_model on trace_short.job (model, at, job);
create index teaching_job_of_model on trace_short.job (model, at desc, job desc) where weight > 0;

-- Customers' words, where the shop lets them in.
create table trace_short.words (
  job text collate "C" primary key references trace_short.job on delete cascade,
  words jsonb not null
);

-- By model; "whole" is the same of all models, as faded as each of them has it.
create table trace_short.tally (
  model integer not null references trace_short.model,
  what text collate "C" not null references trace_short.counted,
  key text collate "C" not null,
  s1 numeric not null,
  s2 numeric not null,
  s3 numeric not null,
  primary key (model, what, key)
) with (fillfactor = 70);
create table trace_short.whole (
  what text collate "C" not null references trace_short.counted,
  key text collate "C" not null,
  s1 numeric not null,
  s2 numeric not null,
  s3 numeric not null,
  primary key (what, key)
) with (fillfactor = 50);

create type trace_short.figure as (what text, key text, s1 numeric, s2 numeric, s3 numeric);

create function trace_short.power_of(place integer, base integer, half_after float8)
returns numeric language sql immutable parallel safe as $$
  select case
    when (place - base)::float8 / half_after < -300 then 0
    else power(2::float8, (place - base)::float8 / half_after)::numeric
  end
$$;

create function trace_short.goes_by(asked text) returns text
language plpgsql stable parallel safe set search_path = trace_short, pg_temp as $$
declare
  now_by text := asked;
  next_by text;
  met text[] := array[asked];
begin
  loop
    select s.same into next_by from same_as s where s.name = now_by;
    exit when not found or next_by = any (met);
    met := met || next_by;
    now_by := next_by;
  end loop;
  return now_by;
end
$$;

-- A model's sums, faded as of its newest job.
create function trace_short.figures_of(asked integer) returns setof trace_short.figure
language sql stable parallel safe as $$
  select t.what, t.key, round(t.s1 / f.by, 12), round(t.s2 / f.by, 12), round(t.s3 / f.by, 12)
  from trace_short.model m
  cross join trace_short.shop s
  join trace_short.tally t on t.model = m.id
  join trace_short.counted c on c.what = t.what
  cross join lateral (select case c.fades
    when 'by teaching jobs' then trace_short.power_of(m.teaching - 1, m.teaching_base, s.half_after)
    when 'by jobs' then trace_short.power_of(m.jobs - 1, m.jobs_base, s.half_after)
    else 1 end as by) f
  where m.id = asked
$$;

create function trace_short.shared_of(asked integer) returns trace_short.figure[]
language sql stable as $$
  select coalesce(array_agg(f::trace_short.figure), '{}')
  from trace_short.figures_of(asked) f
  join trace_short.counted c on c.what = f.what and c.shared
$$;

-- Adds to a model's sums, or takes off, what its jobs from a place on count.
create function trace_short.add_up(asked integer, times integer, from_at text, from_job text)
returns void language sql as $$
  insert into trace_short.tally as t (model, what, key, s1, s2, s3)
  select asked, c.what, k.key,
    times * sum(round((k.figures ->> 0)::numeric * f.by, 12)),
    times * sum(round((k.figures ->> 1)::numeric * f.by, 12)),
    times * sum(round((k.figures ->> 2)::numeric * f.by, 12))
  from trace_short.model m
  cross join trace_short.shop s
  join trace_short.job j on j.model = m.id
  cross join lateral jsonb_each(j.counts) g(what, held)
  join trace_short.counted c on c.what = g.what
  cross join lateral (select case c.fades
    when 'by teaching jobs'
      then j.weight * trace_short.power_of(j.teaching_place, m.teaching_base, s.half_after)
    when 'by jobs' then trace_short.power_of(j.place, m.jobs_base, s.half_after)
    else sign(j.weight) end as by) f
  cross join lateral jsonb_each(g.held) k(key, figures)
  where m.id = asked and j.place is not null and (j.at, j.job) >= (from_at, from_job) and f.by > 0
  group by c.what, k.key
  order by c.what, k.key
  on conflict (model, what, key) do update
  set s1 = t.s1 + excluded.s1, s2 = t.s2 + excluded.s2, s3 = t.s3 + excluded.s3
$$;

-- Brings the sums of all models up after one of them changed.
create function trace_short.bring_whole_up(asked integer, before trace_short.figure[])
returns void language sql as $$
  insert into trace_short.whole as w (what, key, s1, s2, s3)
  select d.what, d.key, sum(d.s1), sum(d.s2), sum(d.s3)
  from (
    select what, key, s1, s2, s3 from unnest(trace_short.shared_of(asked))
    union all
    select what, key, -s1, -s2, -s3 from unnest(before)
  ) d
  group by d.what, d.key
  having sum(d.s1) <> 0 or sum(d.s2) <> 0 or sum(d.s3) <> 0
  order by d.what, d.key
  on conflict (what, key) do update
  set s1 = w.s1 + excluded.s1, s2 = w.s2 + excluded.s2, s3 = w.s3 + excluded.s3
$$;

-- Counts a model anew from its jobs; the sums of all models are left as they were.
create function trace_short.recount_alone(asked integer) returns void
language plpgsql set search_path = trace_short, pg_temp as $$
begin
  delete from tally where model = asked;
  update job j set place = n.place, teaching_place = n.teaching_place
  from (
    select o.job, row_number() over w - 1 as place,
      case when o.weight > 0 then count(*) filter (where o.weight > 0) over w - 1 end as teaching_place
    from job o where o.model = asked
    window w as (order by o.at, o.job rows unbounded preceding)
  ) n
  where j.job = n.job
    and (j.place is distinct from n.place or j.teaching_place is distinct from n.teaching_place);
  update model m set jobs = n.jobs, teaching = n.teaching, jobs_base = n.jobs, teaching_base = n.teaching
  from (
    select count(*) as jobs, count(*) filter (where weight > 0) as teaching from job where model = asked
  ) n
  where m.id = asked;
  perform add_up(asked, 1, '', '');
end
$$;

create function trace_short.recount(asked integer) returns void
language plpgsql set search_path = trace_short, pg_temp as $$
declare
  before figure[] := shared_of(asked);
begin
  perform recount_alone(asked);
  perform bring_whole_up(asked, before);
end
$$;

-- Counts a job that is not counted yet. Where later jobs of its model are there, they move up one place.
create function trace_short.put_in(the_job text) returns void
language plpgsql set search_path = trace_short, pg_temp as $$
declare
  j job;
  m model;
  before figure[];
  later integer;
  later_teaching integer;
begin
  select * into j from job where job.job = the_job;
  select * into m from model where id = j.model;
  before := shared_of(m.id);
  select count(*), count(*) filter (where o.weight > 0) into later, later_teaching
  from job o where o.model = m.id and o.place is not null and (o.at, o.job) > (j.at, j.job);
  if later > 0 then
    perform add_up(m.id, -1, j.at, j.job);
    update job o set place = o.place + 1, teaching_place = o.teaching_place + sign(j.weight)::integer
    where o.model = m.id and o.place is not null and (o.at, o.job) > (j.at, j.job);
  end if;
  update job o set place = m.jobs - later,
    teaching_place = case when o.weight > 0 then m.teaching - later_teaching end
  where o.job = the_job;
  update model set jobs = jobs + 1, teaching = teaching + sign(j.weight)::integer where id = m.id;
  perform add_up(m.id, 1, j.at, j.job);
  perform bring_whole_up(m.id, before);
  if (m.jobs + 1 - m.jobs_base)::float8 / (select half_after from shop) > 300 then
    perform recount(m.id);
  end if;
end
$$;

-- The reverse.
create function trace_short.take_out(the_job text) returns void
language plpgsql set search_path = trace_short, pg_temp as $$
declare
  j job;
  before figure[];
begin
  select * into j from job where job.job = the_job;
  if j.place is null then return; end if;
  before := shared_of(j.model);
  perform add_up(j.model, -1, j.at, j.job);
  update job o set place = o.place - 1, teaching_place = o.teaching_place - sign(j.weight)::integer
  where o.model = j.model and o.place is not null and (o.at, o.job) > (j.at, j.job);
  update job set place = null, teaching_place = null where job.job = the_job;
  update model set jobs = jobs - 1, teaching = teaching - sign(j.weight)::integer where id = j.model;
  perform add_up(j.model, 1, j.at, j.job);
  delete from tally where model = j.model and s1 = 0 and s2 = 0 and s3 = 0;
  perform bring_whole_up(j.model, before);
end
$$;

create function trace_short.model_called(asked text) returns integer
language plpgsql set search_path = trace_short, pg_temp as $$
declare
  found_id integer;
begin
  select id into found_id from model where name = asked;
  if not found then
    insert into model (name) values (asked) returning id into found_id;
  end if;
  return found_id;
end
$$;

-- Whoever changes anything holds this to the end of the transaction: one at a time, so that none waits in a ring.
create function trace_short.take_turn() returns void language sql as $$
  select pg_advisory_xact_lock(hashtext('trace_short memory'))
$$;

/* Takes in what a job teaches. The same again changes nothing; what is older than what is held is passed over. */
create function trace_short.hand_in(
  the_job text, the_name text, the_at text, the_weight numeric, the_sum text,
  the_lesson jsonb, the_counts jsonb, the_words jsonb
) returns text
language plpgsql security definer set search_path = trace_short, pg_temp set jit = off as $$
declare
  held job;
  its_model integer;
  became text := 'new';
begin
  perform take_turn();
  select * into held from job where job.job = the_job;
  if found then
    if held.sum = the_sum then return 'same'; end if;
    if held.at > the_at then return 'older'; end if;
    perform take_out(the_job);
    became := 'changed';
  end if;
  select n.model into its_model from model_name n where n.name = the_name;
  if not found then
    its_model := model_called(goes_by(the_name));
    insert into model_name (name, model) values (the_name, its_model);
  end if;
  if exists (select from forgotten f where f.job = the_job) then its_model := null; end if;
  insert into job (job, name, model, at, weight, sum, lesson, counts)
  values (the_job, the_name, its_model, the_at, the_weight, the_sum, the_lesson, the_counts)
  on conflict (job) do update
  set name = excluded.name, model = excluded.model, at = excluded.at, weight = excluded.weight,
    sum = excluded.sum, lesson = excluded.lesson, counts = excluded.counts, handed_in = now();
  delete from words where words.job = the_job;
  if the_words is not null then insert into words values (the_job, the_words); end if;
  if its_model is not null then perform put_in(the_job); end if;
  return became;
end
$$;

create function trace_short.forget(the_job text) returns void
language plpgsql security definer set search_path = trace_short, pg_temp set jit = off as $$
begin
  perform take_turn();
  insert into forgotten values (the_job) on conflict do nothing;
  perform take_out(the_job);
  update job set model = null where job.job = the_job;
end
$$;

create function trace_short.recall(the_job text) returns void
language plpgsql security definer set search_path = trace_short, pg_temp set jit = off as $$
begin
  perform take_turn();
  delete from forgotten f where f.job = the_job;
  update job j set model = n.model from model_name n
  where j.job = the_job and j.model is null and n.name = j.name;
  if found then perform put_in(the_job); end if;
end
$$;

/* From now on a name means another one; the same twice: it stands for itself again. */
create function trace_short.merge(the_name text, the_same text) returns void
language plpgsql security definer set search_path = trace_short, pg_temp set jit = off as $$
declare
  n record;
  its_model integer;
  changed integer[] := '{}';
begin
  perform take_turn();
  if the_name = the_same then
    delete from same_as s where s.name = the_name;
  else
    insert into same_as values (the_name, the_same)
    on conflict (name) do update set same = excluded.same;
  end if;
  for n in
    select o.name, o.model, goes_by(o.name) as now_by
    from model_name o join model m on m.id = o.model where m.name <> goes_by(o.name)
  loop
    its_model := model_called(n.now_by);
    update model_name o set model = its_model where o.name = n.name;
    update job j set model = its_model where j.name = n.name and j.model = n.model;
    changed := changed || n.model || its_model;
  end loop;
  perform recount(c.id) from (select distinct unnest(changed) as id order by 1) c;
end
$$;

/* Counts everything anew from the jobs. */
create function trace_short.recount_all() returns void
language plpgsql security definer set search_path = trace_short, pg_temp set jit = off as $$
begin
  perform take_turn();
  delete from whole;
  delete from tally;
  perform recount_alone(m.id) from (select id from model order by id) m;
  -- In one go: a row that changes with each model would be found ever more slowly.
  insert into whole
  select f.what, f.key, sum(f.s1), sum(f.s2), sum(f.s3)
  from model m cross join lateral unnest(shared_of(m.id)) f
  group by f.what, f.key;
end
$$;

revoke all on schema trace_short from public;
revoke execute on all functions in schema trace_short from public;
grant usage on schema trace_short to trace_short_bench;
grant select on trace_short.version, trace_short.shop, trace_short.counted, trace_short.model,
  trace_short.model_name, trace_short.same_as, trace_short.forgotten, trace_short.job,
  trace_short.words, trace_short.tally, trace_short.whole to trace_short_bench;
grant execute on function
  trace_short.hand_in(text, text, text, numeric, text, jsonb, jsonb, jsonb),
  trace_short.forget(text), trace_short.recall(text), trace_short.merge(text, text),
  trace_short.recount_all(), trace_short.goes_by(text), trace_short.figures_of(integer),
  trace_short.power_of(integer, integer, float8) to trace_short_bench;
`;
