// Which dialog is open. One at a time: a dialog covers the page.

type DialogName = 'about' | 'attachments' | 'display' | 'keys' | 'new-window' | 'save-picture';

class Dialogs {
  open = $state<DialogName | null>(null);
}

export const dialogs = new Dialogs();
