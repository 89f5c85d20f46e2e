/** Half a second of 880 Hz, so that somebody hears whether this computer has a voice. */
export function testTone(): void {
  const context = new AudioContext()
  const tone = context.createOscillator()
  const loudness = context.createGain()
  tone.frequency.value = 880
  loudness.gain.value = 0.2
  tone.connect(loudness).connect(context.destination)
  tone.start()
  tone.stop(context.currentTime + 0.5)
  tone.addEventListener('ended', () => void context.close())
}
