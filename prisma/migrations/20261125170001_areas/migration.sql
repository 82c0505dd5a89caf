-- Areas above villages, a tree of any depth: how a district was divided from a day on. Sums stay by village, so that drawing
-- areas anew moves no count.
create table area_shape (
  district_id uuid not null references district,
  from_on date not null,
  -- {"areas": [{"name", "parent"}], "areaOf": {village: area}}
  shape jsonb not null,
  primary key (district_id, from_on)
);
