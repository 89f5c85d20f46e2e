import '../protocols/live/strict-policy.ts'
import './shell/app.ts'
