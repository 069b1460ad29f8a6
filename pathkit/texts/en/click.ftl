# What click, the library of the command line, says of words that it cannot take, word for word.

click-no-option = No such option { $option }.
click-no-option-like = No such option { $option }. Did you mean { $other }?
click-no-option-like-several = No such option { $option }. (Did you mean one of: { $others }?)
click-no-command = No such command { $command }.
click-no-command-like = No such command { $command }. Did you mean { $other }?
click-no-command-like-several = No such command { $command }. (Did you mean one of: { $others }?)
click-missing-argument = Missing argument { $name }.
click-missing-option = Missing option { $name }.
click-missing-option-choose = Missing option { $name }. Choose from: { $choices }
click-missing-command = Missing command.
click-extra = Got unexpected extra argument ({ $words })
click-extra-several = Got unexpected extra arguments ({ $words })
click-needs-value = Option { $name } requires an argument.
click-no-value = Option { $name } does not take a value.
click-invalid = Invalid value for { $name }: { $why }
click-invalid-choice = Invalid value for { $name }: { $given } is not one of { $choices }.
click-invalid-only-choice = Invalid value for { $name }: { $given } is not { $choice }.
click-invalid-integer = Invalid value for { $name }: { $given } is not a valid integer.
click-invalid-integer-range = Invalid value for { $name }: { $given } is not a valid integer range.
click-invalid-float = Invalid value for { $name }: { $given } is not a valid float.
click-invalid-float-range = Invalid value for { $name }: { $given } is not a valid float range.
click-invalid-range = Invalid value for { $name }: { $given } is not in the range { $range }.
