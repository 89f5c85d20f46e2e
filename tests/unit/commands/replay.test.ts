import { expect, test } from 'vitest'
import { replay } from '../../../server/commands/replay.ts'

test('a form of files without a folder for them is refused, not passed over', async () => {
  await expect(replay('night.log', { format: 'xlsx', decimal: '.' })).rejects.toThrow(
    '--format xlsx: is the form of files; --out DIR says where they go',
  )
})
