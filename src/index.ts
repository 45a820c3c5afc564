/** The public names of the computation module, in the order of the chain. */
