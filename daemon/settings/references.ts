import { wellKnownChannels } from '../callout/settings.js'
import { didYouMean } from '../units/nearest-name.js'
import type { Path, Problem } from './problem.js'
import type { Settings } from './schema.js'

/** The sections that could be read; those with mistakes of their own are missing, and what refers to them is let be. */
export type Sections = { readonly [Key in keyof Settings]?: Settings[Key] | undefined }

/**
 * Names that are used twice, and names of people, ladders and channels that nobody has. What needs the planned farm
 * (places, signals, alarms) is not looked at here.
 */
export function referenceProblems(sections: Sections): readonly Problem[] {
  return [
    ...twice(sections),
    ...unknownPeople(sections),
    ...unknownLadders(sections),
    ...unknownChannels(sections),
  ]
}

function twice(sections: Sections): readonly Problem[] {
  const lists: readonly [section: string, key: string, names: readonly string[]][] = [
    ['places', 'id', (sections.places ?? []).map(({ id }) => id)],
    ['equipment', 'id', (sections.equipment ?? []).map(({ id }) => id)],
    ['alarms', 'id', (sections.alarms ?? []).map(({ id }) => id)],
    ['groups', 'id', (sections.groups ?? []).map(({ id }) => id)],
    ['people', 'id', (sections.people ?? []).map(({ id }) => id)],
    ['species', 'id', (sections.species ?? []).map(({ id }) => id)],
    ['crops', 'id', (sections.crops ?? []).map(({ id }) => id)],
    ['quantities', 'name', (sections.quantities ?? []).map(({ name }) => name)],
  ]
  const repeated = lists.flatMap(([section, key, names]) =>
    names.flatMap((name, index): Problem[] =>
      names.indexOf(name) === index
        ? []
        : [
            {
              path: [section, index, key],
              wrong: `${name} is there twice`,
              right: 'give each a name of its own',
            },
          ],
    ),
  )
  const places = new Set((sections.places ?? []).map(({ id }) => id))
  const shared = (sections.equipment ?? []).flatMap(({ id }, index): Problem[] =>
    places.has(id)
      ? [
          {
            path: ['equipment', index, 'id'],
            wrong: `${id} is a place already`,
            right: 'both may stand in a signal: give each a name of its own',
          },
        ]
      : [],
  )
  return [...repeated, ...shared]
}

/** Reports each used name that is not among the known ones; nothing when the known ones could not be read. */
function unknown(
  what: string,
  known: readonly string[] | undefined,
  uses: readonly (readonly [path: Path, name: string | undefined])[],
): readonly Problem[] {
  if (known === undefined) return []
  return uses.flatMap(([path, name]): Problem[] =>
    name === undefined || known.includes(name)
      ? []
      : [{ path, wrong: `there is no ${what} ${name}`, right: didYouMean(name, known) }],
  )
}

function unknownPeople({ people, roster = [], ladders = {} }: Sections): readonly Problem[] {
  const ids = people?.map(({ id }) => id)
  const turns = roster.flatMap(({ who }, index) =>
    who.map((name, place) => [['roster', index, 'who', place], name] as const),
  )
  const calls = Object.entries(ladders).flatMap(([ladder, { steps }]) =>
    steps.flatMap((step, index) =>
      'call' in step ? [[['ladders', ladder, 'steps', index, 'call'], step.call] as const] : [],
    ),
  )
  return [
    ...unknown('person', ids, turns),
    ...unknown('person', ids && ['on-duty', 'everyone', ...ids], calls),
  ]
}

function unknownLadders({
  ladders,
  alarms = [],
  probes = [],
  system,
  lookout,
}: Sections): readonly Problem[] {
  return unknown('ladder', ladders && Object.keys(ladders), [
    ...alarms.map(({ ladder }, index) => [['alarms', index, 'ladder'], ladder] as const),
    ...probes.map(
      ({ bad_measurement: own }, index) =>
        [['probes', index, 'bad_measurement', 'ladder'], own?.ladder] as const,
    ),
    ...(lookout?.watches ?? []).map(
      ({ ladder }, index) => [['lookout', 'watches', index, 'ladder'], ladder] as const,
    ),
    [['system', 'ladder'], system?.ladder],
  ])
}

function unknownChannels({ channels, people = [], ladders = {} }: Sections): readonly Problem[] {
  const names = channels && [...new Set([...Object.keys(channels), ...wellKnownChannels])]
  const switches = channels && Object.keys(channels).filter((name) => channels[name]?.kind === 'mqtt')
  const steps = Object.entries(ladders).flatMap(([ladder, { steps: all }]) =>
    all.map((step, index) => ({ step, path: ['ladders', ladder, 'steps', index] as const })),
  )
  const ways = steps.flatMap(({ step, path }) =>
    'by' in step ? step.by.map((name, place) => [[...path, 'by', place], name] as const) : [],
  )
  const reach = people.flatMap((person, index) =>
    Object.keys(person.reach).map((name) => [['people', index, 'reach', name], name] as const),
  )
  const turnedOn = steps.flatMap(({ step, path }) =>
    'switch_on' in step ? [[[...path, 'switch_on'], step.switch_on] as const] : [],
  )
  return [
    ...unknown('channel', names, [...ways, ...reach]),
    ...unknown('channel of kind mqtt', switches, turnedOn),
  ]
}
