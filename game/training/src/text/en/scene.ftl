# What the window says: screens, the display in the yard, settings. Ids start with `scene-`.

scene-window = Jetyard
scene-no_level = No level is chosen.
scene-no_picture = No picture came for { $path }.
