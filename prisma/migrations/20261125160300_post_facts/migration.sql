-- What is known of a health post beside its days, and what a national list of facilities says otherwise.

alter table health_post
  add column national_id text,
  add column kind text not null default 'permanent',
  add column until_on date,
  add constraint health_post_kind_is_known check (kind in ('permanent', 'outreach', 'temporary')),
  add constraint health_post_national_id_is_said check (length(national_id) > 0),
  add constraint health_post_ends_only_for_a_time check (until_on is null or kind <> 'permanent'),
  add constraint health_post_national_id_is_unique unique (district_id, national_id);

-- Each difference stays until a person decides; one that was declined is not asked again.
create table post_difference (
  id uuid primary key,
  district_id uuid not null references district (id),
  kind text not null,
  national_id text not null,
  -- As the list has it; null where the list no longer has the post.
  listed_name text,
  post_id uuid references health_post (id),
  found_at timestamptz not null,
  decided_at timestamptz,
  decided_by text,
  is_accepted boolean,
  constraint post_difference_kind_is_known check (kind in ('new', 'renamed', 'same-name', 'not-listed')),
  constraint post_difference_is_decided_by_someone
    check ((decided_at is null) = (decided_by is null) and (decided_at is null) = (is_accepted is null)),
  constraint post_difference_has_its_post check ((kind = 'new') = (post_id is null)),
  constraint post_difference_names_what_is_listed check ((kind = 'not-listed') = (listed_name is null)),
  constraint post_difference_is_asked_once unique nulls not distinct (district_id, kind, national_id, listed_name, post_id)
);
