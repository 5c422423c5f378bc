import type { SurveyDocument } from '../src/base/survey-document.js';
import { looksLikeSurvey, readSurvey } from '../src/fill/read-survey.js';
import type { Io } from './io.js';
import { readHead, readNamedText } from './read-text-file.js';
import { type SurveyOptions, surveyFile } from './survey-file.js';

/**
 * The survey of a file: a saved survey document is read, a mesh is surveyed. Which of the two it is shows in its
 * content. `-` is standard input, which can only be a survey document.
 */
export async function surveyOf(path: string, options: SurveyOptions, io: Io): Promise<SurveyDocument> {
  if (path !== '-' && !looksLikeSurvey(await readHead(path, io))) {
    const { roundSurvey } = await import('../src/sheet/json.js');
    return roundSurvey((await surveyFile(path, options, io)).document);
  }
  return readNamedText(path, io, readSurvey);
}
