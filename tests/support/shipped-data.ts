import { mustBeValid } from '../../src/core/checked-data.ts'
import { parseColdChainRules } from '../../src/core/cold-chain/cold-chain-rules.ts'
import { parseAlertRules } from '../../src/core/reactions/alert-rules.ts'
import { parseCautions } from '../../src/core/reactions/cautions.ts'
import { parseCoreVariables } from '../../src/core/reactions/line-list.ts'
import { parseSignCatalogue } from '../../src/core/reactions/sign-catalogue.ts'
import { parseSupplyPlanning } from '../../src/core/supplies/supply-planning.ts'
import { parseProducts } from '../../src/core/vials/product.ts'
import type { Product } from '../../src/core/vials/product.ts'
import { parseVialPolicies } from '../../src/core/vials/vial-policy.ts'
import type { VialPolicy } from '../../src/core/vials/vial-policy.ts'
import { readDataFile } from '../../src/platform/data-files.ts'

/** The data files of vials, cold chain, supplies and reactions as they ship. */

export const products = mustBeValid(parseProducts(readDataFile('products/products.json')))
export const vialPolicies = mustBeValid(parseVialPolicies(readDataFile('products/vial-policies.json')))
export const coldChainRules = mustBeValid(parseColdChainRules(readDataFile('cold-chain/rules.json')))
export const supplyPlanning = mustBeValid(parseSupplyPlanning(readDataFile('supplies/planning.json')))
export const signCatalogue = mustBeValid(parseSignCatalogue(readDataFile('reactions/signs.json')))
export const alertRules = mustBeValid(parseAlertRules(readDataFile('reactions/alerts.json')))
export const coreVariables = mustBeValid(parseCoreVariables(readDataFile('reactions/core-variables.json')))
export const cautions = mustBeValid(parseCautions(readDataFile('reactions/cautions.json')))

function named<T extends { readonly code: string }>(all: readonly T[], code: string): T {
  const found = all.find((each) => each.code === code)
  if (found === undefined) throw new Error(`no ${code} in the data`)
  return found
}

export const product = (code: string): Product => named(products, code)
export const vialPolicy = (code: string): VialPolicy => named(vialPolicies, code)
