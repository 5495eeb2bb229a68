import polyglotI18nProvider from 'ra-i18n-polyglot';
import englishMessages from 'ra-language-english';

/** The framework's own sentences, where ours say more. */
const messages = {
  ...englishMessages,
  ra: {
    ...englishMessages.ra,
    auth: { ...englishMessages.ra.auth, auth_check_error: 'Please sign in.', sign_in_error: 'E-mail or password is wrong.' },
    notification: {
      ...englishMessages.ra.notification,
      updated: 'Saved',
      created: 'Saved',
      deleted: 'Archived',
      http_error: 'The server did not answer as it should.',
    },
    message: { ...englishMessages.ra.message, invalid_form: 'Some fields need another look: see the notes beside them.' },
    navigation: {
      ...englishMessages.ra.navigation,
      partial_page_range_info: '%{offsetBegin}–%{offsetEnd}, more follow',
      page_range_info: '%{offsetBegin}–%{offsetEnd} of %{total}',
      page_rows_per_page: 'Rows:',
      skip_nav: 'Skip to the page',
    },
  },
};

export const i18nProvider = polyglotI18nProvider(() => messages, 'en', [{ locale: 'en', name: 'English' }], { allowMissing: true });
