-- Coverage: targets the authority enters, the facts that are counted, and their sums (docs/indicators.md).

alter table village
  -- Rates as stated: a target is divided by unrounded.
  alter column births_per_1000 type numeric(10, 5),
  alter column infant_deaths_per_1000_births type numeric(10, 5),
  add column live_births numeric(10, 2),
  add column surviving_infants numeric(10, 2),
  -- Who stated the target and for which year; shown beside the figures.
  add column target_source text,
  add column target_year integer,
  add constraint village_targets_are_not_negative check (live_births >= 0 and surviving_infants >= 0);

-- The birthday that ends the given number of months; one that does not exist is the first of the next month.
create function birthday(birth_on date, months integer) returns date
language sql immutable parallel safe
return (birth_on + make_interval(months => months))::date
  + (extract(day from birth_on + make_interval(months => months)) < extract(day from birth_on))::integer;

create function age_band(birth_on date, on_day date) returns text
language sql immutable parallel safe
return case
  when on_day < birthday(birth_on, 12) then 'under-12m'
  when on_day < birthday(birth_on, 24) then '12m-to-23m'
  else 'from-24m'
end;

-- As what the sums count a child; written in the transaction of whatever changed the child.
create table counted_child (
  child_id uuid primary key references child,
  village_id uuid not null references village,
  sex text not null,
  birth_on date not null,
  is_in_cohort boolean not null,
  constraint counted_child_sex_is_known check (sex in ('female', 'male', 'unknown'))
);
create index counted_child_of_village_idx on counted_child (village_id);

-- At most one fact for each numbered dose of a child, and for each milestone. One statement writes it, beside the child
-- it is of and after the cells it counts in, which are never removed: no foreign keys that every dose would pay for.
create table counted_fact (
  child_id uuid not null,
  series text not null,
  dose integer not null,
  delivery text not null,
  crude_on date not null,
  valid_on date,
  is_timely boolean not null,
  -- Where the dose counts on its crude day, and on its valid day where that is another one.
  cell integer not null,
  later_cell integer,
  primary key (child_id, series, dose, delivery),
  constraint counted_fact_timely_is_valid check (valid_on is not null or not is_timely),
  constraint counted_fact_has_a_later_cell check (coalesce(valid_on <> crude_on, false) = (later_cell is not null))
);
create index counted_fact_valid_later_idx on counted_fact (later_cell) where later_cell is not null;

-- Sums: whole numbers that add and subtract with the facts. The index to read holds them, so a report reads nothing else.
create table coverage_cell (
  id integer generated always as identity,
  village_id uuid not null references village,
  birth_year integer not null,
  is_in_cohort boolean not null,
  delivery text not null,
  series text not null,
  dose integer not null,
  -- The first day of the month in which the doses were given.
  month_on date not null,
  age_band text not null,
  crude integer not null,
  valid integer not null,
  timely integer not null
);
create unique index coverage_cell_is_one on coverage_cell (
  village_id, birth_year, month_on, series, dose, age_band, delivery, is_in_cohort
);
create index coverage_cell_to_read_idx on coverage_cell (village_id, birth_year, month_on)
  include (series, dose, age_band, delivery, is_in_cohort, crude, valid, timely);
