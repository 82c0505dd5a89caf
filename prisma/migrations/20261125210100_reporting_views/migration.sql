-- What outside report tools may read: views that name nobody. No name, card, phone, word, identifier of the register or
-- exact day of a child stands in them. A login made by `duebell reporting-login` may read these and nothing else.
-- A later step that changes a column which a view reads drops and makes the view anew.
-- A database whose tables were wiped to be restored may hold the rest of it still.
drop schema if exists reporting cascade;
create schema reporting;
revoke all on schema reporting from public;

-- From which the views make their own identifiers of children; no login gets it.
create table reporting.salt (
  salt text not null
);
insert into reporting.salt values (gen_random_uuid()::text || gen_random_uuid()::text);

-- Children whose family bars sharing, removed and merged records and districts to practise in are not told of.
-- Village, month of birth and sex stand together only where five children share all three (as in files of FHIR); else
-- the village is left out, then all but the year. Not granted: it knows which child is which.
create view reporting.told as
with counted as (
  select
    c.id,
    c.district_id,
    c.village_id,
    c.sex,
    c.birth_on,
    c.status,
    c.enrolled_on,
    count(*) over (partition by c.village_id, c.sex, date_trunc('month', c.birth_on)) >= 5 as is_common_in_village,
    count(*) over (partition by c.district_id, c.sex, date_trunc('month', c.birth_on)) >= 5 as is_common_in_district
  from child c
  join district d on d.id = c.district_id
  where c.status not in ('duplicate', 'entered-in-error')
    and c.erased_at is null
    and c.sharing_barred_at is null
    and not d.is_training
)
select
  id,
  birth_on,
  left(encode(sha256(convert_to((select salt from reporting.salt) || id::text, 'UTF8')), 'hex'), 24) as child,
  district_id,
  case when is_common_in_village then village_id end as village_id,
  case when is_common_in_village or is_common_in_district then sex end as sex,
  extract(year from birth_on)::int as birth_year,
  case when is_common_in_village or is_common_in_district then extract(month from birth_on)::int end as birth_month,
  status,
  extract(year from enrolled_on)::int as enrolled_year
from counted;

create view reporting.district as
select id as district_id, name from district where not is_training;

create view reporting.village as
select v.id as village_id, v.district_id, v.post_id, v.name, v.population, v.births_per_1000, v.infant_deaths_per_1000_births
from village v
join district d on d.id = v.district_id
where not d.is_training;

create view reporting.health_post as
select p.id as post_id, p.district_id, p.name, p.kind
from health_post p
join district d on d.id = p.district_id
where not d.is_training;

create view reporting.child as
select child, district_id, village_id, sex, birth_year, birth_month, status, enrolled_year from reporting.told;

-- One row for each series that a dose was judged for; series and number are empty where it was judged for none.
create view reporting.dose as
select
  t.child,
  t.district_id,
  t.village_id,
  d.vaccine,
  v.series,
  v.number,
  v.is_valid,
  v.reason,
  d.delivery,
  d.is_elsewhere,
  extract(year from d.given_on)::int as given_year,
  -- A child whose month of birth is withheld is not to be found by the months of its doses.
  case when t.birth_month is not null then extract(month from d.given_on)::int end as given_month,
  case when t.birth_month is not null then
    (extract(year from age(d.given_on, t.birth_on)) * 12 + extract(month from age(d.given_on, t.birth_on)))::int
  end as age_months
from dose d
join reporting.told t on t.id = d.child_id
left join dose_verdict v on v.dose_id = d.id
where d.voided_at is null;

create view reporting.visit as
select
  t.child,
  t.district_id,
  t.village_id,
  a.status,
  extract(year from a.session_on)::int as session_year,
  case when t.birth_month is not null then extract(month from a.session_on)::int end as session_month
from appointment a
join reporting.told t on t.id = a.child_id;

-- Reactions are rare: they are counted by district and year, and lead to no child.
create view reporting.reaction as
select t.district_id, extract(year from r.reaction_on)::int as reaction_year, r.is_serious, count(*)::int as reactions
from reaction r
join reporting.told t on t.id = r.child_id
where r.voided_at is null
group by t.district_id, extract(year from r.reaction_on), r.is_serious;

create view reporting.vial as
select v.district_id, v.post_id, v.vaccine, v.product, v.opened_at, v.discard_by, v.discarded_at, v.discard_reason
from vial v
join district d on d.id = v.district_id
where not d.is_training and v.voided_at is null;

-- Texts that went out, counted: no number and no word of them.
create view reporting.text as
select
  o.district_id,
  extract(year from o.created_at)::int as year,
  extract(month from o.created_at)::int as month,
  o.purpose,
  o.status,
  count(*)::int as texts,
  sum(o.parts)::int as parts
from text_out o
join district d on d.id = o.district_id
where not d.is_training
group by o.district_id, extract(year from o.created_at), extract(month from o.created_at), o.purpose, o.status;

-- Makes a login, or gives one a new password, and grants it the views: read-only, few connections, bounded time.
create function reporting.make_login(login text, secret text) returns void language plpgsql as $$
begin
  if not exists (select from pg_roles where rolname = login) then
    execute format('create role %I', login);
  end if;
  execute format('alter role %I login nosuperuser nocreatedb nocreaterole connection limit 5 password %L', login, secret);
  execute format('alter role %I set default_transaction_read_only = on', login);
  execute format('alter role %I set statement_timeout = ''60s''', login);
  execute format('grant usage on schema reporting to %I', login);
  execute format(
    'grant select on reporting.district, reporting.village, reporting.health_post, reporting.child, reporting.dose, '
      'reporting.visit, reporting.reaction, reporting.vial, reporting.text to %I',
    login
  );
end
$$;

-- Ends a login; false when there is none of this name.
create function reporting.end_login(login text) returns boolean language plpgsql as $$
begin
  if not exists (select from pg_roles where rolname = login) then
    return false;
  end if;
  execute format('drop owned by %I', login);
  execute format('drop role %I', login);
  return true;
end
$$;

revoke all on function reporting.make_login(text, text) from public;
revoke all on function reporting.end_login(text) from public;
