import { reference, withoutEmpty } from './resource.ts'
import type { Resource } from './resource.ts'
import { SYSTEM } from './systems.ts'

/** A place of the register. */
export interface PlaceToTell {
  readonly kind: 'district' | 'post' | 'village'
  readonly id: string
  readonly name: string
  readonly districtId: string
  readonly latitude: number | null
  readonly longitude: number | null
  /** Of a post: its number on the national list of facilities. */
  readonly nationalId?: string | null
}

/** Codes of location-physical-type (R4): jurisdiction, site, area. */
const TYPE = { district: 'jdn', post: 'si', village: 'area' } as const

/** A district, health post or village as a Location (R4). */
export function locationResource(place: PlaceToTell): Resource {
  const { kind, id, name, districtId, latitude, longitude, nationalId = null } = place
  return withoutEmpty({
    resourceType: 'Location',
    id,
    identifier: nationalId === null ? undefined : [{ system: SYSTEM.facility, value: nationalId }],
    status: 'active',
    name,
    mode: 'instance',
    physicalType: { coding: [{ system: SYSTEM.placeType, code: TYPE[kind] }] },
    position: latitude === null || longitude === null ? undefined : { longitude, latitude },
    partOf: kind === 'district' ? undefined : reference('Location', districtId),
  })
}
