import { chronicAmmoniaCriterion } from '../chemistry/ammonia-criteria.js'
import { acidity, waterTemperature } from './common-inputs.js'
import { derivation, waterPlaces } from './derivation.js'

/** Total ammonia that wild waters may hold for a month, at the present pH and temperature: no stocking limit. */
export const ammoniaCriterion = derivation('ammonia_criterion_chronic', {
  places: waterPlaces,
  inputs: { ph: acidity, temperature: waterTemperature },
  compute: chronicAmmoniaCriterion,
  equation: 'EPA-CCC',
  source: 'US EPA (2013) Aquatic Life Ambient Water Quality Criteria for Ammonia, EPA-822-R-13-001',
  valid: 'pH 6.5-9, 0-30 degC, fresh water',
})
