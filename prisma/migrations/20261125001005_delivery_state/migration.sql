-- How long texts took lately is asked every few seconds.
create index text_out_handed_idx on text_out (handed_at) where handed_at is not null;
