import { readColumns } from '../../../src/core/register/register-columns.ts'
import { shippedSchedule } from '../../support/schedules.ts'

const schedule = shippedSchedule('who-2025-preferred')
const read = (...titles: string[]) => readColumns(titles, 1, schedule)

describe('readColumns', () => {
  test('knows the facts by name, whatever their case, spacing or order', () => {
    const { facts, missing, problems } = read('Village', 'birth date', 'NAME', 'Card-Number')
    expect([...facts]).toEqual([
      ['village', 0],
      ['birth_date', 1],
      ['name', 2],
      ['card_number', 3],
    ])
    expect({ missing, problems }).toEqual({ missing: [], problems: [] })
  })

  test('says which needed columns are missing', () => {
    expect(read('name', 'phone').missing).toEqual(['birth_date', 'village'])
  })

  test.each([
    ['BCG', 'BCG', null],
    ['BCG1', 'BCG', 1],
    ['PENTA3', 'PENTA', 3],
    ['penta 2', 'PENTA', 2],
    ['FIPV2', 'FIPV', 2],
    ['OPV1', 'BOPV', 1],
    ['OPV0', 'BOPV', 0],
    ['MR_1', 'MR', 1],
    ['HEPB0', 'HEPB', null],
    // A rotavirus column with a number means the dose, not the two-dose product of that code.
    ['ROTA2', 'ROTA', 2],
  ])('%s holds doses of %s, number %s', (title, vaccine, typedNumber) => {
    expect(read(title).doses).toEqual([{ place: 0, title, vaccine, typedNumber }])
  })

  test.each(['XYZ1', 'PENTA9', 'BCG0', 'remarks'])('%s is not known to the schedule', (title) => {
    expect(read(title)).toMatchObject({
      doses: [],
      problems: [{ line: 1, column: title, code: 'column-unknown' }],
    })
  })

  test('a column that says the same as another is a problem, an empty title none', () => {
    expect(
      read('name', 'Name', 'MR1', 'MR 1', '').problems.map(({ column, code }) => `${column} ${code}`),
    ).toEqual(['Name column-repeated', 'MR 1 column-repeated'])
  })
})
