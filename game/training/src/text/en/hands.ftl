# What hands can do, and the names of keys. Ids start with `hands-`.

# What a key, a button or a stick does
hands-deed-ahead = Walk ahead
hands-deed-back = Walk back
hands-deed-left = Walk to the left
hands-deed-right = Walk to the right
hands-deed-turn_left = Turn left
hands-deed-turn_right = Turn right
hands-deed-hurry = Hurry
hands-deed-slowly = Walk slowly
hands-deed-wide = Wide stance
hands-deed-staggered = Staggered stance
hands-deed-brace = Brace the lance
hands-deed-squeeze = Trigger
hands-deed-catch = Safety catch
hands-deed-reach = Hands ahead
hands-deed-draw_in = Hands back
hands-deed-lift = Hands up
hands-deed-lower = Hands down
hands-deed-take = Take, hold, work
hands-deed-inspect = Look closely
hands-deed-look_round = Look round
hands-deed-call = Call
hands-deed-stop = Emergency stop
hands-deed-sheet = Job sheet
hands-deed-menu = Menu

# Keys and buttons
hands-unbound = no key
hands-key-left = Left
hands-key-right = Right
hands-key-up = Up
hands-key-down = Down
hands-key-page_up = Page up
hands-key-page_down = Page down
hands-key-shift_left = Shift
hands-key-shift_right = Right shift
hands-key-control_left = Ctrl
hands-key-control_right = Right ctrl
hands-key-alt_left = Alt
hands-key-alt_right = Right alt
hands-key-space = Space
hands-key-tab = Tab
hands-key-escape = Esc
hands-key-enter = Enter
hands-key-backspace = Backspace
hands-key-minus = -
hands-key-equal = =
hands-key-bracket_left = [
hands-key-bracket_right = ]
hands-mouse-left = Left button
hands-mouse-right = Right button
hands-mouse-middle = Middle button
hands-mouse-back = Back button
hands-mouse-forward = Forward button
hands-mouse-other = Button { $n }
hands-pad-south = Pad lower
hands-pad-east = Pad right
hands-pad-north = Pad upper
hands-pad-west = Pad left
hands-pad-left_bumper = Left bumper
hands-pad-right_bumper = Right bumper
hands-pad-left_trigger = Left trigger
hands-pad-right_trigger = Right trigger
hands-pad-left_stick = Left stick
hands-pad-right_stick = Right stick
hands-pad-cross_up = Cross up
hands-pad-cross_down = Cross down
hands-pad-cross_left = Cross left
hands-pad-cross_right = Cross right
hands-pad-select = Select
hands-pad-start = Menu button
hands-pad-other = Pad button

# Things
hands-thing-lance = the lance
hands-thing-stand = the stand of the lance
hands-thing-nozzle = nozzle of { $mm } mm
hands-thing-gauge = the bore gauge
hands-thing-end = the end of the lance
hands-thing-hose = the hose
hands-thing-board = the job board
