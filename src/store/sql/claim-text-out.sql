-- Takes one waiting text for sending. $1 text id (uuid); $2 lease until (timestamptz).
-- Two workers racing: the second waits for the row and then finds it taken.
update text_out
set status = 'sending', lease_until = $2::timestamptz, tries = tries + 1
where id = $1::uuid and status = 'waiting'
returning id::text
