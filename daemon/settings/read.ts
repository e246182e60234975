import { readFileSync } from 'node:fs'
import { dirname, resolve } from 'node:path'
import { Fault } from '../errors.js'
import { loadSettings, type Loaded, type Refused } from './load.js'

/**
 * Loads a configuration from disk. Files that it names are read relative to it. Throws BW_CONFIG when the file itself
 * cannot be read; whatever is wrong inside is in the answer.
 */
export function readSettings(
  file: string,
  env: Readonly<Record<string, string | undefined>>,
): Loaded | Refused {
  const folder = dirname(resolve(file))
  return loadSettings({
    text: textOf(file),
    file,
    env,
    readFile: (name) => readFileSync(resolve(folder, name), 'utf8'),
  })
}

function textOf(file: string): string {
  try {
    return readFileSync(file, 'utf8')
  } catch (cause) {
    const hint = 'name it by --config, or by BELLWATER_CONFIG; config/bellwater.yaml is the example'
    throw new Fault('BW_CONFIG', `the configuration ${file} cannot be read`, hint, { cause })
  }
}
