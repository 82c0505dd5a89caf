import { sqlState, violatedConstraint } from '../../../src/store/database.ts'
import { sealedColumns } from '../../../src/store/sealing/sealed-fields.ts'
import { insertSamples, SAMPLES } from '../../support/sample-rows.ts'
import { openTestDatabase } from '../../support/test-database.ts'

const { db, pool } = await openTestDatabase()

beforeAll(async () => {
  await insertSamples(db)
  await pool.query(`
    insert into counted_child values ('${SAMPLES.child.id}', '${SAMPLES.village.id}', 'female', '2026-01-20', true);
    insert into counted_fact values ('${SAMPLES.child.id}', 'BCG', 1, 'routine', '2026-03-03', '2026-03-03', true, 1, null);
    insert into coverage_cell (
      village_id, birth_year, is_in_cohort, delivery, series, dose, month_on, age_band, crude, valid, timely
    ) values ('${SAMPLES.village.id}', 2026, true, 'routine', 'BCG', 1, '2026-03-01', 'under-12m', 1, 1, 1)`)
})

/** A copy of a table's rows with some columns changed, as often as said. */
const copyOf = (table: string, changes: string, times = 1): string => `
  insert into ${table}
  select (jsonb_populate_record(t, jsonb_build_object(${changes}))).*
  from ${table} t, generate_series(1, ${times})`
const newId = `'id', gen_random_uuid()`

/** Something plain in each column that is sealed. */
const PLAIN_VALUES = Object.fromEntries(
  sealedColumns.flatMap(({ table, columns }) =>
    columns.map(({ name }) => [`${table}_${name}_is_sealed`, `update ${table} set ${name} = '"Asha"'`]),
  ),
)

/** What breaks each rule of the tables, on the sample rows. */
const BREAKS: Readonly<Record<string, string>> = {
  ...PLAIN_VALUES,
  alert_is_open_once: `
    insert into alert
    select (jsonb_populate_record(t, jsonb_build_object(${newId}, 'number', 100 + n, 'closed_at', null))).*
    from alert t, generate_series(1, 2) as n`,
  alert_kind_is_known: `update alert set kind = 'gossip'`,
  alert_number_is_unique: copyOf('alert', newId),
  alert_taking_on_is_whole: `update alert set acknowledged_by = null`,
  api_token_hash_is_unique: copyOf('api_token', newId),
  api_token_role_is_known: `update api_token set role = 'king'`,
  audit_link_is_one_per_change: copyOf('audit_link', `'serial', 2`),
  appointment_close_is_whole: `update appointment set status = 'planned'`,
  appointment_is_planned_once: copyOf('appointment', `${newId}, 'status', 'planned', 'closed_at', null`, 2),
  appointment_status_is_known: `update appointment set status = 'perhaps'`,
  calendar_link_is_of_one: `update calendar_link set post_id = null`,
  calendar_link_secret_is_unique: copyOf('calendar_link', newId),
  caregiver_phone_kind_is_known: `update caregiver set phone_kind = 'satellite'`,
  child_address_ends_after_its_start: `update child_address set until = since - interval '1 day'`,
  caregiver_is_current_once: copyOf('caregiver', `${newId}, 'until', null`, 2),
  child_birth_is_addressable: '',
  child_birth_minute_is_of_a_day: `update child set birth_minute = 1440`,
  child_birth_order_is_of_a_group: `update child set birth_group = null`,
  child_birth_order_is_one: copyOf('child', `${newId}, 'card_number', '71602848'`),
  child_birth_order_is_small: `update child set birth_order = 10`,
  child_birth_weight_is_possible: `update child set birth_weight_grams = 31`,
  child_card_number_has_eight_digits: `update child set card_number = '4821 7739'`,
  child_card_number_is_unique: copyOf('child', newId),
  child_erased_is_not_followed: `update child set erased_at = now()`,
  child_enrolled_after_birth: `update child set enrolled_on = '2026-01-19'`,
  child_is_away_until: `update child set status = 'active'`,
  child_merge_leaves_once: copyOf('child_merge', `${newId}, 'undone_by', null, 'undone_at', null`, 2),
  child_merge_undo_is_whole: `update child_merge set undone_by = null`,
  child_merged_into_another: `update child set merged_into = id, status = 'duplicate', away_until = null`,
  child_merged_is_duplicate: `update child set merged_into = gen_random_uuid()`,
  child_sex_is_known: `update child set sex = 'x'`,
  child_sharing_bar_is_whole: `update child set sharing_barred_by = null`,
  child_status_is_known: `update child set status = 'asleep', away_until = null`,
  clinical_note_ends_by_someone: `update clinical_note set ended_by = null`,
  counted_child_sex_is_known: `update counted_child set sex = 'x'`,
  counted_fact_has_a_later_cell: `update counted_fact set later_cell = 2`,
  counted_fact_timely_is_valid: `update counted_fact set valid_on = null`,
  coverage_cell_is_one: `
    insert into coverage_cell (
      village_id, birth_year, is_in_cohort, delivery, series, dose, month_on, age_band, crude, valid, timely
    )
    select village_id, birth_year, is_in_cohort, delivery, series, dose, month_on, age_band, 0, 0, 0
    from coverage_cell`,
  district_bundling_is_sensible: `update district set bundling_days = 61`,
  district_child_naming_is_known: `update district set child_naming = 'in full'`,
  district_has_a_language: `update district set languages = '{}'`,
  district_name_is_unique: copyOf('district', newId),
  district_setting_name_is_known: `update district_setting set name = 'colour'`,
  dose_delivery_is_known: `update dose set delivery = 'by post'`,
  dose_is_recorded_once_a_day: copyOf(
    'dose',
    `${newId}, 'voided_at', null, 'voided_by', null, 'void_reason', null`,
    2,
  ),
  dose_minute_is_of_a_day: `update dose set given_minute = 1440`,
  dose_not_before_birth: `update dose set given_on = '2026-01-19'`,
  dose_vial_flags_are_known: `update dose set vial_flags = '{odd}'`,
  dose_void_is_whole: `update dose set void_reason = null`,
  erasure_search_stage_is_known: `update erasure_search set stage = 'perhaps'`,
  fridge_reading_is_noted_once: copyOf('fridge_reading', `${newId}, 'voided_at', null`, 2),
  fridge_reading_is_possible: `update fridge_reading set celsius = 61`,
  fridge_reading_reader_is_known: `update fridge_reading set read_by = 'ear'`,
  health_post_hours_are_hours: `update health_post set session_hours = 'mornings'`,
  health_post_ends_only_for_a_time: `update health_post set kind = 'permanent'`,
  health_post_kind_is_known: `update health_post set kind = 'mobile'`,
  health_post_name_is_unique: copyOf('health_post', `${newId}, 'national_id', null`),
  health_post_national_id_is_said: `update health_post set national_id = ''`,
  health_post_national_id_is_unique: copyOf('health_post', `${newId}, 'name', 'Another'`),
  post_difference_has_its_post: `update post_difference set post_id = null`,
  post_difference_is_asked_once: copyOf('post_difference', newId),
  post_difference_is_decided_by_someone: `update post_difference set decided_by = null`,
  post_difference_kind_is_known: `update post_difference set kind = 'moved'`,
  post_difference_names_what_is_listed: `update post_difference set listed_name = null`,
  month_summary_begins_a_month: `update month_summary set month_on = '2026-02-02'`,
  budget_warning_begins_a_month: `update budget_warning set month_on = '2026-02-02'`,
  page_session_digest_is_unique: copyOf('page_session', newId),
  page_session_has_one_holder: `update page_session set person_id = null`,
  person_phone_is_unique: copyOf('person', newId),
  person_role_is_known: `update person set role = 'king'`,
  phone_line_consent_is_known: `update phone_line set consent = 'perhaps'`,
  phone_line_is_one_per_number_and_district: copyOf('phone_line', newId),
  reaction_route_is_known: `update reaction set route = 'by post'`,
  reaction_serious_goes_at_once: `update reaction set is_serious = false`,
  recall_confirmation_is_whole: `update recall set confirmed_by = null`,
  reminder_aftercare_is_one_per_day: copyOf(
    'reminder',
    `${newId}, 'kind', 'aftercare', 'appointment_id', null`,
    2,
  ),
  reminder_has_an_appointment: `update reminder set appointment_id = null`,
  reminder_is_one_per_appointment_line_and_kind: copyOf('reminder', newId),
  reminder_kind_is_known: `update reminder set kind = 'nag'`,
  reminder_status_is_known: `update reminder set status = 'perhaps'`,
  review_item_close_is_whole: `update review_item set closed_by = null`,
  review_item_dose_twice_waits_once: copyOf(
    'review_item',
    `${newId}, 'kind', 'dose-twice', 'closed_at', null, 'closed_by', null`,
    2,
  ),
  review_item_double_waits_once: copyOf('review_item', `${newId}, 'closed_at', null, 'closed_by', null`, 2),
  review_item_kind_is_known: `update review_item set kind = 'gossip'`,
  schedule_version_is_one_per_code_and_day: copyOf('schedule_version', newId),
  sign_in_code_tries_are_counted: `update sign_in_code set tries = -1`,
  stated_dose_delivery_is_known: `update stated_dose set delivery = 'by post'`,
  stock_entry_kind_is_known: `update stock_entry set kind = 'lent'`,
  stock_entry_vials_are_counted: `update stock_entry set vials = -1`,
  stock_entry_waste_has_a_reason: `update stock_entry set reason = null`,
  text_in_is_stored_once: copyOf('text_in', newId),
  text_in_pin_is_forgotten: `update text_in set pin = 'sealed:t:4821'`,
  text_in_pin_is_sealed: `update text_in set pin = '4821', handled_at = null, parked_at = null`,
  text_pin_code_is_whole: `update text_pin set code_until = null`,
  text_pin_is_chosen_or_waits: `update text_pin set digest = 'sealed:t:4821'`,
  text_pin_wrong_tries_check: `update text_pin set wrong_tries = -1`,
  text_out_answers_once: copyOf('text_out', newId),
  text_out_is_closed_by_someone: `update text_out set closed_by = null`,
  text_out_purpose_is_known: `update text_out set purpose = 'joke'`,
  text_out_status_is_known: `update text_out set status = 'perhaps'`,
  uptime_hour_has_sixty_minutes: `update uptime_hour set minutes = 1152921504606846976`,
  vial_discard_is_whole: `update vial set discarded_at = null`,
  vial_discard_reason_is_known: `update vial set discard_reason = 'boredom'`,
  vial_limit_is_known: `update vial set discard_because = 'whim'`,
  vial_number_is_positive: `update vial set number = 0`,
  vial_number_is_unique: copyOf('vial', newId),
  vial_warning_end_is_whole: `update vial_warning set settled_at = null`,
  vial_warning_kind_is_known: `update vial_warning set kind = 'hum'`,
  vial_warning_status_is_known: `update vial_warning set status = 'perhaps'`,
  village_hours_are_hours: `update village set session_hours = 'mornings'`,
  village_name_is_unique: copyOf('village', newId),
  village_population_is_not_negative: `update village set population = -1`,
  village_rates_are_rates: `update village set births_per_1000 = 1001`,
  village_series_targets_is_an_object: `update village set series_targets = '[]'`,
  village_targets_are_not_negative: `update village set live_births = -1`,
  webhook_call_end_is_whole: `update webhook_call set status = 'waiting'`,
  webhook_call_status_is_known: `update webhook_call set status = 'perhaps', settled_at = null`,
  webhook_former_is_whole: `update webhook set former_until = null`,
  webhook_kinds_are_known: `update webhook set kinds = '{gossip}'`,
  webhook_status_is_known: `update webhook set status = 'perhaps'`,
}

/** Keys of tables, and what can only be broken together with such a key. */
const NOT_ALONE = ['child_birth_is_addressable']

test('every rule of the tables is broken here', async () => {
  const { rows } = await pool.query<{ name: string }>(`
    select conname as name from pg_constraint
    where contype in ('c', 'u') and connamespace = 'public'::regnamespace and conrelid <> 'migration'::regclass
    union
    select c.relname
    from pg_index i
    join pg_class c on c.oid = i.indexrelid
    where i.indisunique and not i.indisprimary and c.relnamespace = 'public'::regnamespace`)

  expect(Object.keys(BREAKS).sort()).toEqual(rows.map((row) => row.name).sort())
})

test.each(Object.keys(BREAKS).filter((rule) => !NOT_ALONE.includes(rule)))(
  '%s refuses what breaks it',
  async (rule) => {
    const error: unknown = await db
      .$transaction([db.$executeRawUnsafe(BREAKS[rule] ?? '')])
      .catch((refused: unknown) => refused)

    // Class 23 of PostgreSQL, Appendix A: integrity constraint violation.
    expect(sqlState(error)).toMatch(/^23/)
    expect(violatedConstraint(error)).toBe(rule)
  },
)

test('nothing can point at what is not there', async () => {
  const { rows } = await pool.query<{ loose: string }>(`
    select format('%s.%s', c.relname, a.attname) as loose
    from pg_attribute a
    join pg_class c on c.oid = a.attrelid and c.relkind = 'r' and c.relnamespace = 'public'::regnamespace
    where a.attname like '%\\_id' and a.attnum > 0 and not a.attisdropped
      and not exists (select from pg_constraint k where k.conrelid = c.oid and k.contype = 'f' and a.attnum = any(k.conkey))
    order by 1`)

  // Identifiers of others: a provider's, a national list's, the subject of a change or a call (of any kind), and facts written beside their child.
  expect(rows.map((row) => row.loose)).toEqual([
    'audit_link.change_id',
    'change.subject_id',
    'counted_fact.child_id',
    'health_post.national_id',
    'post_difference.national_id',
    'receipt.provider_id',
    'text_part.provider_id',
    'webhook_call.subject_id',
  ])
})
