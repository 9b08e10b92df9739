import { useEffect, useEffectEvent } from 'react';
import type { Language } from '../../shared/messages/language.ts';
import type { Prompt } from '../../shared/road-card/manoeuvre.ts';
import { useTell } from '../i18n/use-tell.ts';
import { useApp } from '../store/context.ts';

/** A voice of this computer: one from the network would send out where the drive stands. */
const localVoice = (language: Language) =>
  speechSynthesis.getVoices().find((voice) => voice.localService && voice.lang.startsWith(language));

/** Speaks the road card's prompts, so that nobody reads while driving. */
export function SpokenPrompts() {
  const prompt = useApp((s) => s.lastPrompt);
  const spoken = useApp((s) => s.spokenPrompts);
  const language = useApp((s) => s.settings.language);
  const tell = useTell();
  const speak = useEffectEvent((next: Prompt) => {
    const voice = spoken ? localVoice(language) : undefined;
    if (!voice) return;
    const words = new SpeechSynthesisUtterance(tell(next.say));
    words.voice = voice;
    words.lang = voice.lang;
    // What is said last counts: an older sentence would hold it up.
    speechSynthesis.cancel();
    speechSynthesis.speak(words);
  });
  useEffect(() => {
    if (prompt) speak(prompt);
  }, [prompt]);
  useEffect(() => {
    if (!spoken) speechSynthesis.cancel();
  }, [spoken]);
  return null;
}
