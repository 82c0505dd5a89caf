-- Holds one alert for the rest of the transaction. $1 alert (uuid).
select id::text
from alert
where id = $1::uuid
for update
