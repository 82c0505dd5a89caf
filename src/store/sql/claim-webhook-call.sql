-- Takes one due call for making, also one whose caller died. $1 call (uuid); $2 now; $3 lease until (timestamptz).
-- Two workers racing: the second waits for the row and then finds it taken.
update webhook_call
set status = 'sending', lease_until = $3::timestamptz, tries = tries + 1
where id = $1::uuid
  and ((status = 'waiting' and next_try_at <= $2::timestamptz)
    or (status = 'sending' and lease_until <= $2::timestamptz))
returning id::text
