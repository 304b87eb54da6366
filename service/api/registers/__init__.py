"""The registers: operators, vessels, engines, injector types, instruments, test rigs."""
