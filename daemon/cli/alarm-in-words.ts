import { priorities, type AlarmRule, type Condition } from '../alarms/rule.js'
import { sayNumber, withUnit, type UnitSystem } from '../callout/say-value.js'
import { unreachable } from '../errors.js'
import { quantityOf, type SignalName } from '../readings/signal.js'
import type { Quantity } from '../units/quantities.js'
import { spanInWords } from './span-in-words.js'

/** What saying an alarm needs of the farm. */
export interface Speaking {
  readonly quantities: ReadonlyMap<string, Quantity>
  readonly system: UnitSystem
}

/** `oxygen below 4.5 mg/L for 2 min; over at 4.9 mg/L for 3 min` */
export function conditionInWords({ condition, onDelay, offDelay }: AlarmRule, speaking: Speaking): string {
  const lasting = onDelay === 0 ? '' : ` for ${spanInWords(onDelay)}`
  const back = [returning(condition, speaking), offDelay === 0 ? '' : `for ${spanInWords(offDelay)}`]
  const over = back.filter((part) => part !== '').join(' ')
  return `${violating(condition, speaking)}${lasting}${over === '' ? '' : `; over ${over}`}`
}

function violating(condition: Condition, speaking: Speaking): string {
  switch (condition.kind) {
    case 'above':
    case 'below':
      return `${labelOf(condition.signal, speaking)} ${condition.kind} ${value(condition.limit, condition.signal, speaking)}`
    case 'rate': {
      const how = condition.way === 'either' ? 'changing' : condition.way
      const span = condition.over === null ? '' : ` over ${spanInWords(condition.over)}`
      return `${labelOf(condition.signal, speaking)} ${how} faster than ${rate(condition.limit, condition.signal, speaking)}${span}`
    }
    case 'is':
      return `${condition.signal} is ${condition.value}`
    case 'words':
      return `${condition.signal} says ${condition.all.join(' and ')}`
    case 'discrepancy':
      return `${condition.running} is not what ${condition.commanded} says`
    case 'unusable':
      return 'no usable reading'
    case 'verdict':
      return condition.modes === 'any' ? 'found faulty' : `found ${condition.modes.map(spoken).join(' or ')}`
    case 'own-trouble':
      return `${condition.of} does not work`
    default:
      return unreachable(condition)
  }
}

function returning(condition: Condition, speaking: Speaking): string {
  if (condition.kind === 'words' && condition.returnsOn.length > 0)
    return `at ${condition.returnsOn.join(' or ')}`
  if ((condition.kind !== 'above' && condition.kind !== 'below') || condition.deadband === 0) return ''
  const sign = condition.kind === 'below' ? 1 : -1
  return `at ${value(condition.limit + sign * condition.deadband, condition.signal, speaking)}`
}

const labelOf = (signal: SignalName, { quantities }: Speaking): string =>
  quantities.get(quantityOf(signal))?.label ?? quantityOf(signal)

const value = (amount: number, signal: SignalName, speaking: Speaking): string =>
  withUnit(sayNumber(amount, scaleOf(signal, speaking, '')))

const rate = (amount: number, signal: SignalName, speaking: Speaking): string =>
  withUnit(sayNumber(amount, scaleOf(signal, speaking, '/min')))

const scaleOf = (signal: SignalName, { quantities, system }: Speaking, per: string) => ({
  quantity: quantityOf(signal),
  unit: `${quantities.get(quantityOf(signal))?.unit ?? ''}${per}`,
  system,
  decimalMark: '.' as const,
})

/** Why the priority is what it is (AL-23, AL-46). */
export function priorityInWords({ priorityFrom: from }: AlarmRule): string {
  switch (from.kind) {
    case 'consequence':
      return `${from.severity}, ${spanInWords(from.respondWithin)} to respond`
    case 'built-in':
      return 'usual'
    case 'by-hand':
      return 'set by hand'
    default:
      return unreachable(from)
  }
}

/** Where the priority depends on the verdict: `low if weak or clogged; critical while ups is low`. Empty where it does not. */
export function priorityExceptions({ priority, priorityByMode = {}, priorityWhile }: AlarmRule): string {
  const others = priorities.flatMap((one) => {
    const modes = Object.keys(priorityByMode).filter((mode) => priorityByMode[mode] === one)
    return one === priority || modes.length === 0 ? [] : [`${one} if ${modes.map(spoken).join(' or ')}`]
  })
  const raised =
    priorityWhile === undefined
      ? []
      : [
          `${priorityWhile.priority} while ${priorityWhile.of.join(' or ')} is ${priorityWhile.modes.join(' or ')}`,
        ]
  return [...others, ...raised].join('; ')
}

const spoken = (mode: string): string => mode.replaceAll('_', ' ')
