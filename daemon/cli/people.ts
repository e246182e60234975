import { Fault } from '../errors.js'
import { hashPassword } from '../http/access/password.js'
import { openMembers, type KeptMember, type Members } from '../storage/sqlite/members.js'
import { didYouMean } from '../units/nearest-name.js'
import { loadFarm, type LoadedFarm } from './load-farm.js'
import { readSecret } from './read-secret.js'
import type { ExitCode, Terminal, Verb, VerbOptions } from './verb.js'

const roles = ['keeper', 'hand', 'guest'] as const
/** Shorter ones are guessed. @source NIST SP 800-63B, 5.1.1.2: 8 at least (from memory); ours is a little more */
const shortest = 10

/** `people`: who may come in to the pages, and their passwords. */
export const peopleVerb: Verb = {
  name: 'people',
  usage: '[what] [person]',
  summary:
    'who may log in to the pages; set a password (people password ID), or take it away (people remove ID)',
  example: 'bellwater people password first-keeper --role keeper',
  options(command) {
    command.option('--role <role>', 'keeper and hand may act, guest only looks', 'keeper')
  },
  async run([what, person], options, terminal) {
    const farm = loadFarm(options, terminal)
    const members = openMembers(farm.settings.store.folder)
    try {
      if (what === undefined) return list(farm, members, { options, terminal })
      const id = known(person, farm)
      if (what === 'password') return await setPassword(id, members, { options, terminal })
      if (what === 'remove') return remove(id, members, terminal)
      throw new Fault('BW_USAGE', `"${what}" cannot be done with people`, 'write: password or remove')
    } finally {
      members.close()
    }
  },
}

interface Asked {
  readonly options: VerbOptions
  readonly terminal: Terminal
}

function known(person: string | undefined, { plan }: LoadedFarm): string {
  if (person === undefined)
    throw new Fault('BW_USAGE', 'whose?', 'name a person by id, as in the configuration')
  if (plan.people.has(person)) return person
  throw new Fault(
    'BW_USAGE',
    `nobody in the configuration is called "${person}"`,
    didYouMean(person, plan.people.keys()),
  )
}

function list({ plan }: LoadedFarm, members: Members, { options, terminal }: Asked): ExitCode {
  const people = [...plan.people.values()].map(({ id, name }) => {
    const member = members.member(id)
    return { id, name, role: member?.role ?? null, mayLogIn: member !== null }
  })
  // Whoever left the configuration may not linger as somebody who can come in.
  const strangers = members.all().filter(({ id }) => !plan.people.has(id))
  if (options.json) {
    terminal.out(`${JSON.stringify({ people, strangers: strangers.map(({ id }) => id) }, null, 2)}\n`)
    return 0
  }
  for (const { id, name, role } of people)
    terminal.out(
      `${id.padEnd(20)} ${name.padEnd(24)} ${role === null ? 'no password yet' : `logs in as ${role}`}\n`,
    )
  for (const { id } of strangers)
    terminal.out(`${id.padEnd(20)} has a password and is not in the configuration: cannot log in\n`)
  return 0
}

async function setPassword(id: string, members: Members, { options, terminal }: Asked): Promise<ExitCode> {
  const role = roles.find((one) => one === options.own['role'])
  if (role === undefined)
    throw new Fault('BW_USAGE', `"${String(options.own['role'])}" is no role`, `one of: ${roles.join(', ')}`)
  const password = await readSecret(`New password of ${id}, ${shortest} characters at least: `, terminal.err)
  if (password.length < shortest)
    throw new Fault(
      'BW_USAGE',
      `a password needs ${shortest} characters at least`,
      'several words are easy to keep in mind and hard to guess',
    )
  const member: KeptMember = { id, role, password: await hashPassword(password) }
  members.keep(member)
  terminal.out(`${id} may log in as ${role}. Sessions that were open under an older password are over.\n`)
  return 0
}

function remove(id: string, members: Members, terminal: Terminal): ExitCode {
  const was = members.remove(id)
  terminal.out(was ? `${id} can no longer log in.\n` : `${id} had no password.\n`)
  return was ? 0 : 1
}
