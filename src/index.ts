export { Fault } from './base/fault.js';
export type { Finding, Severity } from './base/finding.js';
export type { SurveyDocument } from './base/survey-document.js';
