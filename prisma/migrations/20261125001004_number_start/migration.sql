-- Numbers are sealed; their first digits, which tell a country and an operator and nobody's name, say which way a text
-- goes and what it costs. Null on rows from before: any way may take them.
alter table phone_line add column number_start text;
alter table text_out add column number_start text;
