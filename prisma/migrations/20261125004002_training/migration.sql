-- A district in which people practise: nothing of it leaves to a phone. Set when the district is made, never changed.
alter table district add column is_training boolean not null default false;
