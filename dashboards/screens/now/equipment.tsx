import type { EquipmentNow, Now } from '../../../daemon/http/contract.js'
import { StandingMark, type Standing } from '../../look/marks.js'
import type { Manner } from '../../wording/en.js'
import { isAmiss } from '../../wording/verdict.js'
import type { Words } from '../../wording/words.js'

interface EquipmentProps {
  readonly now: Now
  readonly words: Words
  readonly manner: Manner
}

const standingOf = (machine: EquipmentNow): Standing =>
  machine.mode === 'unknown' ? 'unknown' : isAmiss(machine) ? 'amiss' : 'well'

const first: readonly Standing[] = ['amiss', 'unknown', 'well']

/** What runs and what does not, with the evidence for it. */
export function Equipment({ now, words, manner }: EquipmentProps) {
  if (now.equipment.length === 0) return null
  const machines = [...now.equipment].sort(
    (one, other) => first.indexOf(standingOf(one)) - first.indexOf(standingOf(other)),
  )
  const names = new Map([...now.places, ...now.equipment].map(({ id, label }) => [id, label]))
  return (
    <section aria-labelledby="equipment">
      <h2 id="equipment">{words.equipment}</h2>
      <ul class="machines">
        {machines.map((machine) => (
          <Machine key={machine.id} {...{ machine, names, words, manner }} />
        ))}
      </ul>
    </section>
  )
}

interface MachineProps extends Omit<EquipmentProps, 'now'> {
  readonly machine: EquipmentNow
  readonly names: ReadonlyMap<string, string>
}

function Machine({ machine, names, words, manner }: MachineProps) {
  const standing = standingOf(machine)
  const serves = machine.serves.map((id) => names.get(id) ?? id).join(', ')
  return (
    <li>
      <StandingMark standing={standing} />
      <div>
        {machine.label}:{' '}
        <span class={standing === 'amiss' ? 'amiss-word' : ''}>{words.mode(machine.kind, machine.mode)}</span>
        {standing === 'amiss' && machine.since !== null && (
          <span class="figures"> {words.since(machine.since, manner)}</span>
        )}
        {standing === 'amiss' && (
          <span class="meta">
            {[words.confidence(machine.confidence), ...machine.evidence].join('; ')}
            {serves !== '' && `; ${words.serves(serves)}`}
          </span>
        )}
      </div>
    </li>
  )
}
