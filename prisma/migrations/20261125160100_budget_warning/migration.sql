-- The months in which the managers of a district were warned that its budget of texts runs low: once each.

create table budget_warning (
  district_id uuid not null references district (id),
  month_on date not null,
  warned_at timestamptz not null,
  primary key (district_id, month_on),
  constraint budget_warning_begins_a_month check (extract(day from month_on) = 1)
);
