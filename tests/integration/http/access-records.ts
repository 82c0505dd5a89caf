/** Rows of the table of access about families and health posts. */
import { bound, child, district, LEADERS, NOWHERE, STAFF } from './access-row.ts'
import type { AccessRow } from './access-row.ts'

export const RECORD_ACCESS: Readonly<Record<string, AccessRow>> = {
  'GET /v1/districts/{districtId}/post-records': bound(
    ['manager', 'officer', 'operator', 'machine'],
    (place) => `${district(place)}/post-records`,
  ),
  'POST /v1/districts/{districtId}/posts': bound(
    LEADERS,
    (place) => `${district(place)}/posts`,
    () => ({ name: 'A further post' }),
  ),
  'PATCH /v1/districts/{districtId}/posts/{postId}': bound(
    LEADERS,
    (place) => `${district(place)}/posts/${place.postId}`,
    () => ({ kind: 'outreach' }),
  ),
  'POST /v1/districts/{districtId}/facility-list': bound(
    LEADERS,
    (place) => `${district(place)}/facility-list`,
    () => ({ csv: 'national_id,name\nF-1,Ford\n' }),
  ),
  'GET /v1/districts/{districtId}/post-differences': bound(
    ['manager', 'officer', 'operator'],
    (place) => `${district(place)}/post-differences`,
  ),
  'POST /v1/districts/{districtId}/post-differences/{differenceId}': bound(
    LEADERS,
    (place) => `${district(place)}/post-differences/${NOWHERE}`,
    () => ({ isAccepted: false }),
  ),
  'GET /v1/children/{childId}/family': bound(STAFF, (place) => `${child(place)}/family`),
  'POST /v1/children/{childId}/caregivers': bound(
    STAFF,
    (place) => `${child(place)}/caregivers`,
    () => ({ caregiver: { phone: '07700900999', relation: 'grandmother' } }),
  ),
  'POST /v1/children/{childId}/caregivers/{caregiverId}/end': bound(
    STAFF,
    (place) => `${child(place)}/caregivers/${NOWHERE}/end`,
  ),
  'POST /v1/children/{childId}/addresses': bound(
    STAFF,
    (place) => `${child(place)}/addresses`,
    () => ({ address: 'behind the mill' }),
  ),
  'POST /v1/children/{childId}/addresses/{addressId}/end': bound(
    STAFF,
    (place) => `${child(place)}/addresses/${NOWHERE}/end`,
  ),
}
