-- The months whose summary went to the managers of a district: once each, also after the service was down.

create table month_summary (
  district_id uuid not null references district (id),
  month_on date not null,
  made_at timestamptz not null,
  primary key (district_id, month_on),
  constraint month_summary_begins_a_month check (extract(day from month_on) = 1)
);
