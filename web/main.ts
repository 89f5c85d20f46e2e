import { checkWithoutCodeGeneration } from '../protocols/live/strict-policy.ts'
import './shell/app.ts'

checkWithoutCodeGeneration()
