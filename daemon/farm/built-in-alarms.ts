import type { BareRule, BuiltInInputs } from './built-in.js'
import {
  alarmsOfEquipment,
  faultOfPlace,
  heatMargin,
  isHeated,
  mayFail,
  nodeLost,
} from './equipment-alarms.js'
import { alarmsOfFish, alarmsOfLevels } from './fish-alarms.js'

/**
 * The alarms that species and equipment bring along. Priorities are contract 11's. Delays and deadbands: oxygen as in
 * the contract's example, level 5 % and 60 s (alarm-standards 1.6), the others common practice: slow quantities may
 * take ten minutes to make sure.
 */
export function builtInAlarms(inputs: BuiltInInputs): readonly BareRule[] {
  const places = [...inputs.places.values()]
  return [
    ...places.flatMap((place) => (place.fish === null ? [] : alarmsOfFish(place, inputs.speciesOf(place)))),
    ...places.flatMap(alarmsOfLevels),
    ...places.filter(mayFail).map((place) => faultOfPlace(place)),
    ...[...inputs.equipment.values()].flatMap((equipment) => alarmsOfEquipment(equipment, inputs)),
    ...places
      .filter((place) => isHeated(place, inputs.equipment))
      .map((place) => heatMargin(place, inputs.equipment)),
    ...[...inputs.nodes].map(([node, carriesOxygen]) => nodeLost(node, carriesOxygen)),
  ]
}
